import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';
import * as stamps from '../../web/js/records/stamps.js';

const cases = JSON.parse(readFileSync(new URL('../vectors/stamps.json', import.meta.url), 'utf8'));
const refused = { code: 'bad_stamp' };

test('stamps are read and written as on the server', () => {
  for (const [text, ms, counter, device] of cases.format) {
    assert(stamps.isStamp(text));
    assert.deepEqual(stamps.parseStamp(text), { ms, counter, device });
    assert.equal(stamps.formatStamp({ ms, counter, device }), text);
  }
  for (const text of cases.not_stamps) {
    assert(!stamps.isStamp(text), String(text));
    if (typeof text === 'string') assert.throws(() => stamps.parseStamp(text), refused);
  }
});

test('text order is time order', () => {
  const { ascending } = cases;
  assert.deepEqual([...ascending].reverse().sort(stamps.compareStamps), ascending);
  assert.equal(stamps.compareStamps(ascending[1], ascending[1]), 0);
});

test('ticking, receiving and restamping agree with the server', () => {
  for (const [last, now, result, why] of cases.tick) {
    assert.equal(stamps.tick(last, now), result, why);
  }
  for (const [last, now] of cases.tick_refused) {
    assert.throws(() => stamps.tick(last, now), refused);
  }
  for (const [last, seen, now, result, why] of cases.receive) {
    assert.equal(stamps.receive(last, seen, now), result, why);
  }
  for (const [last, base, corrected, result, why] of cases.restamp) {
    assert.equal(stamps.restamp(last, base, corrected), result, why);
  }
});

test('a clock goes on from the state that was kept', () => {
  const device = 'a'.repeat(16);
  const clock = new stamps.HybridClock(device);
  const kept = clock.tick(1000);
  assert.equal(clock.last, kept);
  assert(new stamps.HybridClock(device, kept).tick(5) > kept);
  const seen = stamps.formatStamp({ ms: 5000, counter: 3, device: 'b'.repeat(16) });
  clock.receive(seen, 2000);
  assert(clock.tick(2000) > seen);
  assert(clock.last.endsWith(device));
});
