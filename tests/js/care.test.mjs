import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { cautionsFor, dealBreakers } from '../../web/js/care/cautions.js';
import { flawName, inspectionFor } from '../../web/js/care/inspection.js';
import {
  METRIC, US, beyondOnePerson, liftingIndex, onePersonLimit, recommendedLimit,
} from '../../web/js/care/lifting.js';

const read = (name) => JSON.parse(readFileSync(new URL(`../vectors/${name}.json`, import.meta.url)));
const near = (a, b) => (a === null || b === null ? a === b : Math.abs(a - b) <= 1e-9 * Math.max(1, b));

test('cautions and checks are those of the server', () => {
  const { rows } = read('care');
  assert.ok(rows.length > 60);
  for (const { words, recalls_checked_on, cautions, checks } of rows) {
    const found = cautionsFor({ flaws: words, recalls_checked_on });
    assert.deepEqual(found.map(({ level, code }) => [level, code]), cautions, words.join('+'));
    assert.deepEqual(inspectionFor(words).map((check) => check.code), checks, words.join('+'));
  }
});

test('a caution carries its title, text and source in words', () => {
  const [caution] = dealBreakers(cautionsFor({ care: ['upholstered'], flaws: ['live-bugs'] }));
  assert.equal(caution.title, 'Live bugs: walk away');
  assert.match(caution.source, /EPA/);
});

test('a situation without anything known has no caution', () => {
  assert.deepEqual(cautionsFor({}), []);
});

test('a flaw from a newer phone is shown by its code', () => {
  assert.equal(flawName('smoke'), 'Smoke smell');
  assert.equal(flawName('loose-thing'), 'loose thing');
});

test('lifting limits are those of the server', () => {
  const { lifts, one_person } = read('lifting');
  assert.ok(lifts.length > 100);
  for (const { lift, conditions, system, rounded, limit_g, factors, reasons } of lifts) {
    const units = system === 'us' ? US : METRIC;
    const found = recommendedLimit(lift, { conditions, system: units, rounded });
    const label = JSON.stringify({ lift, system, rounded });
    assert.ok(near(found.limit_g, limit_g), `${label} ${found.limit_g} ${limit_g}`);
    assert.deepEqual(found.reasons, reasons);
    assert.equal(found.factors.length, factors.length);
    found.factors.forEach((factor, n) => assert.ok(near(factor, factors[n]), label));
  }
  for (const [depth, limit] of one_person) assert.equal(onePersonLimit(depth), limit);
});

test('above the best case a lift is beyond one person', () => {
  assert.equal(beyondOnePerson(20_700), false);
  assert.equal(beyondOnePerson(20_701), true);
  assert.equal(liftingIndex(1, recommendedLimit({ horizontal: 640, vertical: 0, travel: 0 })), Infinity);
});

test('what is not a lift is refused', () => {
  assert.throws(() => recommendedLimit({ horizontal: -1, vertical: 0, travel: 0 }), RangeError);
  const lift = { horizontal: 250, vertical: 750, travel: 250 };
  assert.throws(() => recommendedLimit({ ...lift, coupling: 'sticky' }), RangeError);
  assert.throws(() => recommendedLimit(lift, { conditions: ['on the moon'] }), RangeError);
});
