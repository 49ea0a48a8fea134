// Answers to offers on the phone against tests/vectors/offers.json, written by the Python side.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { answerOffer } from '../../web/js/pricing/offers.js';

const cases = JSON.parse(readFileSync(new URL('../vectors/offers.json', import.meta.url)));

function same(got, wanted, where) {
  if (typeof wanted === 'number') {
    const size = Math.max(1, Math.abs(wanted));
    assert.ok(Math.abs(got - wanted) <= 1e-9 * size, `${where}: ${got} is not ${wanted}`);
  } else if (wanted !== null && typeof wanted === 'object') {
    assert.deepEqual(Object.keys(got).sort(), Object.keys(wanted).sort(), where);
    for (const key of Object.keys(wanted)) same(got[key], wanted[key], `${where}.${key}`);
  } else assert.equal(got, wanted, where);
}

test('every answer to an offer is the one Python gives', () => {
  const said = new Set();
  cases.forEach(({ market: { on_sale: onSale, ...rest }, value, data, answer }, i) => {
    same(answerOffer({ ...rest, onSale }, value, data), answer, `case ${i}`);
    said.add(answer.best);
  });
  assert.deepEqual([...said].sort(), ['counter', 'take', 'wait', undefined]);
});
