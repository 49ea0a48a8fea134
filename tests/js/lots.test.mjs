// One price for several finds, on the phone, against tests/vectors/lots.json, written by Python.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { pricedFind } from '../../web/js/pricing/figures.js';
import { Problems, readFind } from '../../web/js/pricing/find.js';
import { lossChance, mostFor } from '../../web/js/pricing/lots.js';
import { priceLot, sharedErrors } from '../../web/js/pricing/lots-answer.js';

const file = new URL('../vectors/lots.json', import.meta.url);
const { books, cases } = JSON.parse(readFileSync(file));

/** Equal, floats to 1e-9 of their size. */
function same(actual, wanted, where) {
  if (typeof wanted === 'number' && !Number.isInteger(wanted)) {
    assert.ok(Math.abs(actual - wanted) <= 1e-9 * Math.max(1, Math.abs(wanted)),
      `${where}: ${actual}, not ${wanted}`);
  } else if (wanted !== null && typeof wanted === 'object') {
    assert.deepEqual(Object.keys(actual).sort(), Object.keys(wanted).sort(), where);
    for (const key of Object.keys(wanted)) same(actual[key], wanted[key], `${where}.${key}`);
  } else assert.equal(actual, wanted, where);
}

test('every lot is priced as Python prices it', () => {
  cases.forEach(({ book, finds, ask, answer }, i) => {
    same(priceLot(book && books[book], finds, ask), answer, `case ${i}`);
  });
});

test('the figures behind agree to 1e-9', () => {
  cases.filter((c) => c.figures).forEach(({ book, finds, ask, figures }, i) => {
    const problems = new Problems();
    const all = finds.map((f) => readFind(f, problems));
    const priced = all.map((f) => pricedFind(books[book], f, problems));
    const shared = sharedErrors(books[book], all, priced);
    const lot = { deals: priced.map((p) => p.deal), shared };
    const got = { most: mostFor(lot).most, lossChance: lossChance(lot, ask ?? 0) };
    for (const k of ['most', 'lossChance']) {
      assert.ok(Math.abs(got[k] - figures[k]) <= 1e-9 * Math.max(1, Math.abs(figures[k])),
        `${i} ${k}: ${got[k]}, not ${figures[k]}`);
    }
  });
});

test('the cases reach every limit, every reason and every kind of bad input', () => {
  const ok = cases.filter((c) => c.answer.ok).map((c) => c.answer);
  assert.deepEqual([...new Set(ok.map((a) => a.binding))].sort(), ['loss', 'none', 'profit']);
  const reasons = new Set(ok.map((a) => a.nothingReason));
  for (const r of ['costs', 'time', 'min_profit', 'tolerance', 'less_than_note']) {
    assert.ok(reasons.has(r), r);
  }
  assert.ok(ok.some((a) => a.caveats[0] === 'grouped' && a.pieces[0].adds === null));
  const codes = new Set(cases.flatMap((c) => (c.answer.details ?? []).map((d) => d.code)));
  for (const code of ['required', 'too_few', 'too_many', 'too_small', 'wrong_type']) {
    assert.ok(codes.has(code), code);
  }
});

test('shares of the price add up to the cent', () => {
  for (const { ask, answer } of cases.filter((c) => c.answer.atAsk)) {
    assert.equal(answer.atAsk.shares.reduce((a, b) => a + b, 0), ask);
  }
});
