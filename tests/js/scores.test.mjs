// Scores, looks in money and pace against tests/vectors/scores.json, written by the Python side.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { pace } from '../../web/js/pricing/effort.js';
import { movedBy } from '../../web/js/pricing/moves.js';
import { atMost, score, spreadOf, wilson } from '../../web/js/pricing/scores.js';
import { movedWords, paceWords } from '../../web/js/pricing/words.js';

const read = (name) => JSON.parse(readFileSync(new URL(`../vectors/${name}`, import.meta.url)));
const vectors = read('scores.json');
const books = read('pricing_books.json');
const money = (minor) => (minor / 100).toFixed(2);

/** Same shape and same values; numbers to 1e-9 of each other. */
function same(actual, wanted, where) {
  if (typeof wanted === 'number') {
    const off = Math.abs(actual - wanted);
    assert.ok(off <= 1e-9 * Math.max(1e-3, Math.abs(wanted)), `${where}: ${actual} ${wanted}`);
  } else if (wanted !== null && typeof wanted === 'object') {
    assert.deepEqual(Object.keys(actual).sort(), Object.keys(wanted).sort(), where);
    for (const key of Object.keys(wanted)) same(actual[key], wanted[key], `${where}.${key}`);
  } else assert.equal(actual, wanted, where);
}

test('every score is that of Python', () => {
  vectors.cases.forEach(({ pairs, score: wanted }, i) => same(score(pairs), wanted, `case ${i}`));
});

test('every verdict occurs', () => {
  const said = (name) => new Set(vectors.cases.map((c) => c.score[name].says));
  assert.deepEqual([...said('range')].sort(), ['as_said', 'few', 'too_narrow', 'too_wide']);
  for (const name of ['minutes', 'days', 'clear', 'loss']) {
    assert.deepEqual([...said(name)].sort(), ['as_said', 'few', 'less', 'more'], name);
  }
});

test('intervals and tails are those of Python; what ranges were widened by stands in the book', () => {
  for (const [k, n, ...wanted] of vectors.wilson) same(wilson(k, n, 1.96), wanted, `${k}/${n}`);
  for (const [chances, k, wanted] of vectors.at_most) same(atMost(chances, k), wanted, `${k}`);
  assert.equal(spreadOf({}), 1);
  assert.equal(spreadOf({ corrections: { spread: 1.25 } }), 1.25);
});

test('looks in money and the pace of steps are those of Python, with their words', () => {
  for (const { book, moves, pace: wanted, said, paceSaid } of vectors.evidence) {
    const found = movedBy(books[book], 14000, moves.map((m) => m.trait));
    same(found, moves, book);
    assert.deepEqual(found.map((m) => movedWords(m, 'Oak', money)), said);
    const paces = pace(books[book]);
    same(paces, wanted, book);
    assert.deepEqual(paces.map((p) => paceWords(p, 'Wax')), paceSaid);
  }
});

test('a book from before says nothing of looks and steps it has not counted', () => {
  const { counts: { traits: _t, steps: _s, ...counts }, ...rest } = books.many;
  assert.equal(movedBy({ ...rest, counts }, 9000, ['oak'])[0].sales, 0);
  assert.ok(pace({ ...rest, counts }).every(({ says }) => says === 'few'));
});
