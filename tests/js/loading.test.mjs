// Loading on the phone against tests/vectors/loading.json, written by the Python side.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { answerLoad } from '../../web/js/pricing/loading.js';

const cases = JSON.parse(readFileSync(new URL('../vectors/loading.json', import.meta.url)));

test('every load is the one Python finds', () => {
  for (const { pieces, car, answer } of cases) assert.deepEqual(answerLoad(pieces, car), answer);
  const said = new Set(cases.map((c) => c.answer.ok && (c.answer.why ?? 'fits').split(':')[0]));
  assert.deepEqual([...said].map(String).sort(), ['false', 'fits', 'no_room', 'too_large', 'too_much']);
});
