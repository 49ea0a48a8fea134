// Asking and offers in words: every refusal names its field, chances carry no false precision.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import {
  adviceSentence, adviceWords, askingWorkings, bySentence, caveatWords, evidenceSentence, inTen,
  planSentence, problemWords, typedSentence,
} from '../../web/js/screens/asking-words.js';

const read = (name) => JSON.parse(readFileSync(new URL(`../vectors/${name}`, import.meta.url)));
const asks = read('asking.json').asks.map(({ answer }) => answer);
const offers = read('offers.json').pieces.map(({ answer }) => answer);
const TODAY = '2026-05-01';

function isSentence(text) {
  assert.match(text, /^[A-Z].*[.]$/s);
  assert.doesNotMatch(text, /undefined|NaN|null|\{|\}|_|\d\.\d{3}/);
}

test('every refusal is a sentence that names its field', () => {
  const details = [...asks, ...offers].flatMap((answer) => answer.details ?? []);
  assert.ok(new Set(details.map(({ path, code }) => `${path} ${code}`)).size > 20);
  for (const problem of details) isSentence(problemWords(problem));
});

test('refusals say what to do about it', () => {
  const words = (path, code, message = '') => problemWords({ path, code, message });
  assert.equal(words('kind', 'required'), 'Say what kind of piece it is first.');
  assert.match(words('book', 'required'), /first sync/);
  assert.equal(words('prices.0', 'too_small', 'At least 1'), 'The prices: at least 1.');
  assert.equal(
    words('by_on', 'conflict', 'That does not go with what is there already: it has to be later'),
    'The day you name: it has to be later.',
  );
});

test('every answer is said in whole sentences', () => {
  for (const answer of asks.filter(({ ok }) => ok)) {
    isSentence(planSentence(answer.plan, TODAY));
    isSentence(evidenceSentence(answer.evidence));
    if (answer.typed) isSentence(typedSentence(answer, TODAY));
    if (answer.by) isSentence(bySentence(answer, TODAY));
    for (const text of caveatWords(answer.caveats)) isSentence(text);
    for (const { words } of askingWorkings(answer)) assert.doesNotMatch(words, /NaN|undefined/);
  }
  for (const answer of offers.filter(({ ok }) => ok)) {
    isSentence(adviceSentence(answer));
    assert.match(adviceWords(answer), /^(Take it|Wait|Say \$[\d,.]+)$/);
  }
});

test('chances are said in tenths, and thin evidence is called a guess', () => {
  assert.deepEqual([0, 0.049, 0.05, 0.44, 0.45, 0.949, 0.95, 1].map(inTen), [
    'hardly any', 'hardly any', '1 in 10', '4 in 10', '5 in 10', '9 in 10', 'nearly all',
    'nearly all',
  ]);
  const evidence = { ownListings: 12, ownSales: 9, level: 'guess', source: 'book' };
  assert.equal(evidenceSentence(evidence), 'From 12 of your listings: still a guess, until about 20.');
  assert.match(evidenceSentence({ ...evidence, ownListings: 0 }), /^A guess: none/);
});
