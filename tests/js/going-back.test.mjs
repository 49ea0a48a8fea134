// Going back on the phone against tests/vectors/going_back.json, written by the Python side.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { goBack } from '../../web/js/pricing/going-back.js';
import { GOING_BACK, backSentences, cureToGo } from '../../web/js/pricing/words.js';

const read = (name) => JSON.parse(readFileSync(new URL(`../vectors/${name}`, import.meta.url)));
const vectors = read('going_back.json');
const books = read('pricing_books.json');
const money = (minor) => (minor / 100).toFixed(2);

/** Same shape and same values; numbers that are not whole to 1e-9 of each other. */
function same(actual, wanted, where) {
  if (typeof wanted === 'number' && !Number.isInteger(wanted)) {
    assert.ok(Math.abs(actual - wanted) <= 1e-9 * Math.abs(wanted), `${where}: ${actual} ${wanted}`);
  } else if (wanted !== null && typeof wanted === 'object') {
    assert.deepEqual(Object.keys(actual).sort(), Object.keys(wanted).sort(), where);
    for (const key of Object.keys(wanted)) same(actual[key], wanted[key], `${where}.${key}`);
  } else assert.equal(actual, wanted, where);
}

function bookOf({ book, lesson }) {
  const { back: _back, ...rest } = books[book];
  const perMile = lesson === 'few' ? {} : { per_mile: 65 };
  const lessons = lesson in vectors.back ? { back: vectors.back[lesson] } : {};
  return { ...rest, ...lessons, money: { ...rest.money, ...perMile } };
}

test('every answer and every sentence is that of Python', () => {
  for (const c of vectors.cases) {
    const answer = goBack(bookOf(c), c.find, c.trip);
    same(answer, c.answer, JSON.stringify(c.trip));
    const said = answer.ok ? backSentences(answer, money) : cureToGo(answer.details);
    assert.deepEqual(said, c.said);
  }
});

test('the rows add up to the value, and each has its words', () => {
  for (const { answer } of vectors.cases.filter((c) => c.answer.ok)) {
    const parts = answer.rows.slice(0, -1).reduce((sum, row) => sum + row.amount, 0);
    assert.equal(parts, answer.value);
    const exact = answer.chance * Math.max(0, answer.surplus)
      - answer.miles * answer.perMile + answer.rows[3].amount;
    assert.ok(Math.abs(exact - answer.value) <= 1.5);
    for (const row of answer.rows) assert.ok(GOING_BACK[row.key], row.key);
  }
});

test('nothing that can be typed or missing throws or gives NaN', () => {
  const odd = [null, undefined, '', NaN, Infinity, -1, 'x', {}, [], true, [NaN, 0], [1, 2]];
  const names = ['seen_at', 'now', 'closes_at', 'miles', 'minutes', 'here', 'there'];
  const usual = vectors.cases[0].trip;
  for (const name of names) for (const value of odd) {
    const answer = goBack(books.many, { kind: 'desk', ask: 2000 }, { ...usual, [name]: value });
    if (answer.ok) assert.ok(Number.isFinite(answer.value), `${name} ${value}`);
    else assert.ok(cureToGo(answer.details).every((text) => text.endsWith('.')));
  }
  assert.equal(goBack(null, {}, {}).ok, false);
});
