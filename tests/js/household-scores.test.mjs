// The page "How good are the numbers?" in words: small numbers are said, verdicts are plain.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { score } from '../../web/js/pricing/scores.js';
import * as words from '../../web/js/screens/household-scores-words.js';

const PIECE = {
  level: 'fair', low: 7000, likely: 10000, high: 13000, spread: 1, price: 10500,
  saidMinutes: 60, minutes: 61, saidDays: 20, days: 21, saidUnsold: 0.1, unsold: false,
  saidClear: 5000, clear: 5100, saidLoss: 0.1, lost: false,
};
const many = (n, change = {}) => Array.from({ length: n }, (_, i) => ({
  ...PIECE, minutes: 60 + (i % 3), days: 19 + (i % 3), clear: 4900 + 100 * (i % 3), ...change,
}));
const all = (pairs) => {
  const { range, minutes, days, unsold, clear, loss } = score(pairs);
  return [
    words.rangeWords(range), words.minutesSaid(minutes), words.daysSaid(days),
    words.unsoldSaid(unsold), words.clearSaid(clear), words.lossSaid(loss),
  ];
};

test('where nothing has happened yet every measure says so', () => {
  assert.ok(all([]).every((text) => text.startsWith('No piece')));
});

test('few are said to be too few to judge', () => {
  assert.equal(all(many(4))[0], '4 sales so far: too few to judge.');
  assert.equal(all(many(1))[1], '1 piece timed so far: too few to judge.');
  assert.ok(all(many(9)).every((text) => text.endsWith('too few to judge.')));
});

test('what came as said is no more off than chance explains', () => {
  const pairs = [...many(24), ...many(6, { price: 20000, unsold: true, lost: true })];
  assert.ok(all(pairs).every((text) => /chance explains|too wide/.test(text)), all(pairs));
});

test('what came otherwise is said in one word', () => {
  const worse = all(many(40, {
    price: 5000, minutes: 90, days: 60, unsold: true, clear: 100, lost: true,
  }).map((p, i) => ({ ...p, minutes: p.minutes + (i % 2), days: p.days + (i % 2) })));
  assert.match(worse[0], /0 of 40 .* \(0%; 80% was promised\)\. The ranges were too narrow\./);
  assert.match(worse[1], /You take longer than said: 1\.5 times\./);
  assert.match(worse[2], /They stand longer than said\./);
  assert.match(worse[3], /About 4 of 40 .*; 40 did not\. That is more than chance explains\./);
  assert.match(worse[4], /less than was promised/);
  assert.match(worse[5], /more than chance explains/);
  assert.match(all(many(200))[0], /too wide/);
});

test('a level is summed up without what is not known', () => {
  const [{ ...one }] = score(many(2, { price: null, clear: null, lost: null })).levels;
  assert.equal(words.levelWords(one), '2 bought, 0 sold');
  assert.match(words.levelWords(score(many(3)).levels[0]), /3 of them in the range; clear \$150/);
});

test('what the numbers make of it is said, also by a book from before', () => {
  assert.match(words.correctionWords(null)[0], /first sync/);
  assert.match(words.correctionWords({})[0], /from 20 sales on/);
  const book = { corrections: { spread: 1.25, of: 44 }, sell: { unsold_scale: 0.6 } };
  const [ranges, unsold] = words.correctionWords(book);
  assert.equal(ranges, 'Ranges are shown wider, 1.25 times, because of 44 sales.');
  assert.match(unsold, /0\.6 times/);
  assert.match(words.correctionWords({ corrections: { spread: 1, of: 44 } })[0],
    /44 sales call for no correction/);
});
