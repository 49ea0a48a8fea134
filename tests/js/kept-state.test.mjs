// What screens are told of kept records: real records in memory, a household that writes nothing.
import assert from 'node:assert/strict';
import test from 'node:test';
import { askedOf } from '../../web/js/state/asking.js';
import { splitOff } from '../../web/js/state/dividing.js';
import { Memory } from '../../web/js/state/memory.js';
import { runningOuting } from '../../web/js/state/outing.js';
import { isGone } from '../../web/js/state/returns.js';
import { scoredPieces } from '../../web/js/state/scores.js';

const NOW = '2026-06-01T10:00:00.000Z';
const id = (n) => `01900000-0000-7000-8000-${String(n).padStart(12, '0')}`;

function home(rows) {
  const memory = new Memory();
  memory.put(rows.map(([type, n, fields]) => ({ type, id: id(n), fields, stamps: {} })));
  return {
    memory, setting: { time_zone: 'UTC' }, book: null,
    all: (type) => memory.all(type), get: (type, key) => memory.get(type, key),
    where: (type, field, value) => memory.where(type, field, value),
    now: () => new Date(NOW), today: () => NOW.slice(0, 10),
    when: () => ({ at: NOW, on: NOW.slice(0, 10) }),
    newId: () => id(900), write: async (changes) => changes,
  };
}

const asked = (n, amount, on, more = {}) => ['asking_price', n, {
  piece_id: id(1), amount, from_on: on, at: `${on}T09:00:0${n}.000Z`, ...more,
}];
const PIECE = { at: '2026-01-02T09:00:00.000Z', on: '2026-01-02', title: 'Bench' };

test('a price put right on its day is the one that was asked, were it the lower one or not', () => {
  const one = home([
    ['piece', 1, PIECE],
    asked(2, 12000, '2026-05-20'), asked(3, 9000, '2026-06-01'), asked(4, 8000, '2026-06-01'),
  ]);
  assert.deepEqual(askedOf(one, one.get('piece', id(1))), [
    { amount: 12000, on: '2026-05-20' }, { amount: 8000, on: '2026-06-01' },
  ]);
});

test('a drop that was only planned does not count as the day a piece was first offered', () => {
  const answer = {
    range: { low: 1, likely: 2, high: 3 }, evidence: { source: 'book', level: 'fair' },
    chances: { days: 20, unsold: 0.1 },
  };
  const said = { ...PIECE, piece_id: id(1), for_what: 'bought', answer };
  const rows = [['piece', 1, PIECE], ['prediction', 2, said]];
  const planned = asked(3, 9000, '2026-01-10', { planned: true });
  const [never] = scoredPieces(home([...rows, planned]));
  assert.deepEqual([never.days, never.unsold], [null, null]);
  const [offered] = scoredPieces(home([...rows, planned, asked(4, 9500, '2026-01-20')]));
  assert.deepEqual([offered.days, offered.unsold], [90, true]);
});

test('what is split off travels as its set did', async () => {
  const set = { ...PIECE, count: 4, travels_upright: true, height_mm: 900 };
  const one = home([['piece', 1, set]]);
  const parting = { count: 1, childWeight: 1, parentWeight: 3 };
  const [child] = await splitOff(one, one.get('piece', id(1)), parting);
  assert.equal(child.fields.travels_upright, true);
  assert.equal(child.fields.height_mm, 900);
});

test('the hours of an outing go by what the pad said at buying, not by later answers', () => {
  const outing = { at: NOW, on: '2026-06-01', minutes_limit: 300 };
  const bought = { ...PIECE, at: NOW, on: '2026-06-01', purchase_id: id(3), typed_minutes: 10 };
  const said = (n, what, answer) => ['prediction', n, {
    piece_id: id(2), for_what: what, at: `2026-06-01T10:0${n}:00.000Z`, on: '2026-06-01', answer,
  }];
  const one = home([
    ['outing', 1, outing], ['piece', 2, bought],
    ['purchase', 3, { at: NOW, on: '2026-06-01', total: 500, outing_id: id(1) }],
    said(4, 'bought', { minutes: { likely: 95 } }), said(5, 'asking', { plan: {} }),
  ]);
  assert.equal(runningOuting(one).minutesTaken, 95);
});

test('a find that was gone is there again once it was looked at again', () => {
  const visit = { at: '2026-06-01T12:00:00.000Z', on: '2026-06-01', piece_id: id(1), found: false };
  const gone = (fields) =>
    isGone(home([['piece', 1, { ...PIECE, ...fields }], ['visit', 2, visit]]), id(1));
  assert.equal(gone({ later_at: '2026-06-01T09:00:00.000Z' }), true);
  assert.equal(gone({ later_at: '2026-06-01T13:00:00.000Z' }), false);
  assert.equal(isGone(home([['piece', 1, PIECE]]), id(1)), false);
});
