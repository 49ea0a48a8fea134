// Choices on the phone against tests/vectors/choosing.json, written by the Python side.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { answerChoice } from '../../web/js/pricing/choosing.js';

const cases = JSON.parse(readFileSync(new URL('../vectors/choosing.json', import.meta.url)));

test('every choice is the one Python makes', () => {
  for (const { finds, limits, budget, answer } of cases) {
    assert.deepEqual(answerChoice(finds, limits, budget), answer);
  }
  assert.ok(cases.some((c) => c.answer.proven === false));
  const codes = new Set(cases.flatMap((c) => (c.answer.out ?? []).flatMap((o) => o.why)));
  for (const code of ['not_worth', 'cash', 'minutes', 'litres', 'alone:cash']) {
    assert.ok(codes.has(code), code);
  }
});

test('what makes no sense is named and never throws', () => {
  for (const [finds, limits] of [[null, {}], [[null], { cash: 5 }], ['x', null], [{}, []],
    [[{ value: NaN, cash: Infinity }], { cash: -1 }], [[undefined, [], true], { litres: {} }]]) {
    const answer = answerChoice(finds, limits);
    assert.equal(answer.ok, false);
    assert.ok(answer.details.every((d) => d.path && d.message.length > 5));
  }
});
