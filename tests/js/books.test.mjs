import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { ACCOUNTS } from '../../web/js/books/accounts.js';
import { Facts } from '../../web/js/books/facts.js';
import { useCost } from '../../web/js/books/lines.js';
import {
  MILE_RATES, MILE_RATES_UNTIL, deduction, tripAmount,
} from '../../web/js/books/mileage.js';
import { stintMinutes } from '../../web/js/books/minutes.js';
import { postings } from '../../web/js/books/postings.js';
import { ledger, stockOn } from '../../web/js/books/profit.js';
import { pieceCost } from '../../web/js/books/stock.js';

const { accounts, cases } = JSON.parse(
  readFileSync(new URL('../vectors/books.json', import.meta.url), 'utf8'),
);

test('the vectors hold many households', () => assert.ok(cases.length >= 24));

test('the accounts are those of the server', () => {
  const found = Object.entries(ACCOUNTS).map(([code, { name, kind }]) => [code, [name, kind]]);
  assert.deepEqual(Object.fromEntries(found), accounts);
});

cases.forEach(({ household, as_of, zone, postings: posted, ledger: expected }, n) => {
  test(`household ${n}: the same postings as at home`, () => {
    const found = postings(new Facts(household, as_of, zone));
    assert.deepEqual(
      found.map((p) => [p.on, p.account, p.amount, p.piece, p.fact_type, p.fact_id]),
      posted,
    );
  });

  test(`household ${n}: the same ledger as at home, in whole numbers`, () => {
    const found = ledger(household, as_of, zone);
    assert.deepEqual(found.lines, expected.lines);
    assert.deepEqual(found.totals, expected.totals);
    assert.deepEqual(found.months, expected.months);
    assert.deepEqual(found.years, expected.years);
  });

  test(`household ${n}: the order in which records arrive does not matter`, () => {
    const turned = Object.fromEntries(
      Object.entries(household).map(([type, rows]) => [type, [...rows].reverse()]),
    );
    assert.deepEqual(ledger(turned, as_of, zone), ledger(household, as_of, zone));
  });
});

test('miles come to the same cents as at home, at the same rates', () => {
  const { rates, until, trips } = JSON.parse(
    readFileSync(new URL('../vectors/mileage.json', import.meta.url), 'utf8'),
  );
  assert.deepEqual(MILE_RATES.map((rate) => [rate.from_on, rate.tenths, rate.source]), rates);
  assert.equal(MILE_RATES_UNTIL, until);
  assert.ok(trips.length > 40);
  for (const [metres, on, cents] of trips) assert.equal(tripAmount(metres, on), cents);
  assert.throws(() => tripAmount(1609, '2027-01-01'), RangeError);
});

test('drives of a year are added at the rate of their own day', () => {
  const at = '2026-07-01T01:30:00.000Z';
  const outing = [{ id: 'o', at, on: '2026-06-30', distance_m: 160_934 }];
  const delivery = [{ id: 'd', at, on: '2026-07-01', odometer_start_m: 0, odometer_end_m: 160_934 }];
  const facts = new Facts({ outing, delivery }, '2026-12-01T00:00:00.000Z', 'UTC');
  const found = deduction(facts, 2026);
  assert.deepEqual(found, { distance_m: 321_868, amount: 7250 + 7600, days_without_rate: [] });
  assert.equal(deduction(facts, 2025).amount, 0);
});

test('a household with nothing has an empty ledger', () => {
  const { lines, totals, months } = ledger({}, '2026-05-01T00:00:00.000Z', 'UTC');
  assert.deepEqual([lines, months, totals.cash, totals.goal], [[], [], 0, null]);
});

test('records that have not wholly arrived wait', () => {
  const at = '2026-03-01T10:00:00.000Z';
  const rows = { sale: [{ id: 's', at }], purchase: [{ id: 'b', total: 5 }], stint: [{ id: 't' }] };
  assert.deepEqual(ledger(rows, '2026-05-01T00:00:00.000Z', 'UTC').lines, []);
  assert.deepEqual(ledger(rows, '2026-05-01T00:00:00.000Z', 'UTC').months, []);
});

test('the books leave the household as it was', () => {
  const { household, as_of, zone } = cases[0];
  const before = JSON.stringify(household);
  ledger(household, as_of, zone);
  assert.equal(JSON.stringify(household), before);
});

test('stock on a day is what was paid for what was here', () => {
  const moment = (/** @type {string} */ on) => ({ at: `${on}T18:00:00.000Z`, on });
  const household = {
    purchase: [{ id: 'b', ...moment('2026-03-01'), total: 2000 }],
    piece: [{ id: 'p', ...moment('2026-03-01'), purchase_id: 'b' }],
    sale: [{ id: 's', ...moment('2026-04-01'), piece_id: 'p', price: 9000 }],
  };
  const posted = postings(new Facts(household, '2026-12-01T00:00:00.000Z', 'UTC'));
  assert.deepEqual([...stockOn(posted, '2026-02-28')], []);
  assert.deepEqual([...stockOn(posted, '2026-03-31')], [['p', 2000]]);
  assert.deepEqual([...stockOn(posted, '2026-04-01')], []);
});

test('a share of a price adds up to the cent', () => {
  const purchase = { id: 'b', total: 10_000, extra_costs: 0 };
  const pieces = ['p1', 'p2', 'p3'].map((id) => ({ id, share_weight: 1 }));
  assert.deepEqual(pieces.map((piece) => pieceCost(piece, purchase, pieces)), [3334, 3333, 3333]);
});

test('a stint counts what was recorded, else from start to stop, and nothing while it runs', () => {
  const started_at = '2026-05-01T10:00:30.000Z';
  const stopped_at = '2026-05-01T10:59:00.000Z';
  assert.equal(stintMinutes({ id: 'a', started_at, stopped_at, minutes: 40 }), 40);
  assert.equal(stintMinutes({ id: 'a', started_at, stopped_at }), 58);
  assert.equal(stintMinutes({ id: 'a', started_at }), 0);
});

test('a use of a supply costs its part of the price, halves up', () => {
  const supply = { id: 's', cost: 1001, milliunits: 4000 };
  assert.equal(useCost({ id: 'u', milliunits: 2000 }, supply), 501);
  assert.equal(useCost({ id: 'u', milliunits: 2000, cost: 30 }, supply), 30);
  assert.equal(useCost({ id: 'u', milliunits: 2000 }, undefined), 0);
});

test('opening cash counts from the local morning, east of Greenwich too', () => {
  const setting = [{
    id: 's', cash_start: 20000, opened_on: '2026-05-02', set_up_at: '2026-05-01T22:00:00.000Z',
  }];
  const cash = (zone) => ledger({ setting }, '2026-05-01T23:00:00.000Z', zone).totals.cash;
  assert.equal(cash('Australia/Sydney'), 20000);
  assert.equal(cash('America/Los_Angeles'), 0);
});
