import assert from 'node:assert/strict';
import test from 'node:test';

import { intentOf, takenBack, undone } from '../../web/js/store/writing.js';
import { delayAfter } from '../../web/js/sync/backoff.js';
import { HouseClock } from '../../web/js/sync/house-clock.js';
import { nextPage } from '../../web/js/sync/page.js';
import { mendClocks, restamped } from '../../web/js/sync/restamp.js';

const DEVICE = 'aaaaaaaaaaaaaaaa';
const OTHER = 'bbbbbbbbbbbbbbbb';
const HOUR = 3_600_000;
const NOW = Date.parse('2026-05-01T18:00:00.000Z');
const LIMITS = { bytes: 100_000, changes: 100 };

/** @type {(ms: number, device?: string) => string} */
const stampAt = (ms, device = DEVICE) => `${ms.toString(16).padStart(12, '0')}-0000-${device}`;

const dayOf = (ms) => new Date(ms).toISOString().slice(0, 10);

let count = 0;
const randomBytes = (n) => new Uint8Array(n).fill((count += 1) & 0xff);

function entry(seq, id, fields, how = {}) {
  const { ms = seq, wall = how.ms ?? seq, offset = 0, bases = {}, type = 'spot' } = how;
  const stamps = Object.fromEntries(Object.keys(fields).map((name) => [name, stampAt(ms)]));
  const change = { key: `key-${seq}`, type, id, fields, stamps, bases };
  return { seq, change, previous: { fields: {}, stamps: {} }, wall, offset };
}

function correction(more = {}) {
  return { offset: 0, home: NOW, device: DEVICE, refused: false, randomBytes, dayOf, ...more };
}

test('waiting doubles up to a minute and keeps to its upper half', () => {
  const most = [1, 2, 3, 4, 5, 6, 7, 100].map((n) => delayAfter(n, () => 1));
  assert.deepEqual(most, [2000, 4000, 8000, 16000, 32000, 60000, 60000, 60000]);
  const least = [1, 2, 100].map((n) => delayAfter(n, () => 0));
  assert.deepEqual(least, [1000, 2000, 30000]);
});

/** A transaction over plain objects: what `mendClocks` needs of one. */
function txOver({ outbox, row }) {
  const put = { outbox: [], records: [], meta: [] };
  const stores = {
    outbox: { getAll: async () => outbox, put: async (one) => put.outbox.push(one) },
    records: { get: async () => row, put: async (one) => put.records.push(one) },
    meta: { get: async () => undefined, put: async (value) => put.meta.push(value) },
  };
  return { put, tx: { objectStore: (name) => stores[name] } };
}

test('a record follows an edit that beats what came meanwhile once its clock is put right', async () => {
  const late = entry(1, 'a', { name: 'Shed' }, { ms: NOW - 9 * HOUR, wall: NOW - 9 * HOUR });
  const row = { type: 'spot', id: 'a', fields: { name: 'Loft' }, stamps: { name: stampAt(NOW - HOUR, OTHER) } };
  const { tx, put } = txOver({ outbox: [late], row });
  const [mended] = await mendClocks(tx, correction({ offset: 9 * HOUR }));
  assert.deepEqual(mended.fields, { name: 'Shed' });
  assert.equal(mended.stamps.name, put.outbox[0].change.stamps.name);
  const early = txOver({ outbox: [late], row });
  const [kept] = await mendClocks(early.tx, correction({ offset: 2 * HOUR }));
  assert.deepEqual(kept, row, 'one that is still the earlier changes nothing');
});

const HELD = { type: 'spot', id: 'a', fields: { name: 'Loft' }, stamps: { name: stampAt(7, OTHER) } };

test('a write names as its base what the phone holds', () => {
  const intent = intentOf({ type: 'spot', id: 'a', fields: { name: 'Shed', note: 'dry' } }, HELD);
  assert.deepEqual(intent.bases, { name: stampAt(7, OTHER), note: null });
});

test('a write names as its base what the person saw, when another value came since', () => {
  const wish = { type: 'spot', id: 'a', fields: { name: 'Shed', note: 'dry' } };
  const seen = { name: stampAt(3) };
  assert.deepEqual(intentOf({ ...wish, seen }, HELD).bases, { name: stampAt(3), note: null });
  const nothing = intentOf({ ...wish, seen: { name: null } }, HELD);
  assert.deepEqual(nothing.bases, { name: null, note: null });
});

test('an undo has seen its own write, not what came from another phone since', () => {
  const change = { type: 'spot', id: 'a', fields: { name: 'Barn' }, stamps: { name: stampAt(5) } };
  const before = { fields: { name: 'Attic' }, stamps: { name: stampAt(1) } };
  const { bases, fields } = intentOf(undone(change, before, false), HELD);
  assert.deepEqual([bases.name, fields.name], [stampAt(5), 'Attic']);
});

test('a page keeps the order of writing', () => {
  const page = nextPage([entry(1, 'a', { name: 'x' }), entry(2, 'b', { name: 'y' })], LIMITS);
  assert.deepEqual(page.map((sent) => sent.change.key), ['key-1', 'key-2']);
});

test('edits of different groups of one record travel as one change under the later key', () => {
  const page = nextPage([
    entry(1, 'a', { name: 'x' }), entry(2, 'b', { name: 'y' }), entry(3, 'a', { note: 'dry' }),
  ], LIMITS);
  assert.equal(page.length, 2);
  assert.equal(page[0].change.key, 'key-3');
  assert.deepEqual(page[0].change.fields, { name: 'x', note: 'dry' });
  assert.deepEqual(page[0].entries.map((e) => e.seq), [1, 3]);
});

test('a group written twice travels twice, so that both values reach the history', () => {
  const page = nextPage([
    entry(1, 'a', { name: 'x' }), entry(2, 'a', { name: 'y' }), entry(3, 'a', { note: 'dry' }),
  ], LIMITS);
  const sent = page.map(({ change }) => change.fields);
  assert.deepEqual(sent, [{ name: 'x' }, { name: 'y', note: 'dry' }]);
});

test('edits that home refused together travel each by itself', () => {
  const alone = (seq, fields) => ({ ...entry(seq, 'a', fields), alone: true });
  const page = nextPage([alone(1, { name: 'x' }), alone(2, { note: 'dry' })], LIMITS);
  assert.deepEqual(page.map(({ change }) => change.key), ['key-1', 'key-2']);
  const later = nextPage([alone(1, { name: 'x' }), entry(2, 'a', { note: 'dry' })], LIMITS);
  assert.equal(later.length, 2, 'nor is a later edit joined to one of them');
});

test('an erasure is joined with nothing', () => {
  const erase = entry(2, 'a', {});
  Object.assign(erase.change, { erase: true, stamps: { '*': stampAt(2) } });
  const page = nextPage([entry(1, 'a', { name: 'x' }), erase], LIMITS);
  assert.equal(page.length, 2);
});

test('a page stops at its size, but always holds one change', () => {
  const long = { note: 'x'.repeat(1000) };
  const entries = [1, 2, 3].map((n) => entry(n, `${n}`, long));
  assert.equal(nextPage(entries, { bytes: 10, changes: 100 }).length, 1);
  assert.equal(nextPage(entries, { bytes: 2500, changes: 100 }).length, 2);
  assert.equal(nextPage(entries, { bytes: 1e6, changes: 2 }).length, 2);
});

test('a small difference of clocks is the network’s and is not corrected', () => {
  const clock = new HouseClock(() => NOW);
  assert.equal(clock.taught({ home: NOW + 900, sent: NOW, got: NOW + 800, latest: 0 }), 0);
});

test('a real difference is learned, halfway between asking and answer', () => {
  const clock = new HouseClock(() => NOW);
  const reading = { home: NOW + HOUR + 50, sent: NOW, got: NOW + 100, latest: 0 };
  assert.equal(clock.taught(reading), HOUR);
  clock.offset = HOUR;
  assert.equal(clock.now(), NOW + HOUR);
  assert.equal(clock.taught({ ...reading, home: reading.home + 300 }), HOUR, 'it does not wander');
});

test('a home that is behind what it wrote itself teaches nothing', () => {
  const clock = new HouseClock(() => NOW);
  const latest = NOW;
  assert.equal(clock.taught({ home: NOW - HOUR, sent: NOW, got: NOW, latest }), null);
});

test('with a right clock nothing is stamped anew', () => {
  assert.deepEqual(restamped([entry(1, 'a', { name: 'x' }, { ms: NOW - 1000 })], correction()), []);
});

for (const years of [-5, 5]) {
  const wrong = years * 365 * 24 * HOUR;
  test(`edits of a clock ${years} years off get the time they were written at`, () => {
    const at = NOW - HOUR;
    const entries = [
      entry(1, 'a', { name: 'x' }, { ms: at + wrong }),
      entry(2, 'a', { name: 'y' }, { ms: at + wrong + 1000, bases: { name: stampAt(at + wrong) } }),
    ];
    const [one, two] = restamped(entries, correction({ offset: -wrong }));
    assert.equal(one.entry.change.stamps.name, stampAt(at));
    assert.equal(two.entry.change.stamps.name, stampAt(at + 1000));
    assert.equal(two.entry.change.bases.name, stampAt(at), 'the base follows the new stamp');
    assert.notEqual(one.entry.change.key, 'key-1', 'a key names one content only');
  });
}

test('a new stamp is later than the value it replaces, whoever wrote that', () => {
  const base = stampAt(NOW + HOUR, OTHER);
  const one = entry(1, 'a', { name: 'x' }, { ms: NOW + 5 * HOUR, bases: { name: base } });
  const [{ entry: mended }] = restamped([one], correction({ offset: -5 * HOUR }));
  assert.ok(mended.change.stamps.name > base);
});

test('edits before and after the clock was set right keep their order', () => {
  const entries = [
    entry(1, 'a', { name: 'x' }, { ms: NOW + 50 * HOUR }),
    entry(2, 'a', { name: 'y' }, { ms: NOW + 50 * HOUR + 1, wall: NOW - HOUR }),
  ];
  const [one, two] = restamped(entries, correction({ offset: 0 }));
  assert.ok(one.entry.change.stamps.name < two.entry.change.stamps.name);
  assert.ok(two.entry.change.stamps.name < stampAt(NOW));
});

test('moments taken from the wrong clock move with the stamp, typed ones stay', () => {
  const wrong = 5 * 365 * 24 * HOUR;
  const at = NOW - HOUR;
  const fields = {
    at: new Date(at + wrong).toISOString(), on: dayOf(at + wrong),
    until_at: new Date(NOW + 3 * 24 * HOUR).toISOString(),
  };
  const one = entry(1, 'a', fields, { ms: at + wrong, type: 'hold' });
  const [{ entry: mended, shift }] = restamped([one], correction({ offset: -wrong }));
  assert.equal(shift, -wrong);
  assert.equal(mended.change.fields.at, new Date(at).toISOString());
  assert.equal(mended.change.fields.on, dayOf(at));
  assert.equal(mended.change.fields.until_at, fields.until_at);
});

test('what home lacks after a restore keeps the stamps of those who wrote it', () => {
  const echo = { ...entry(1, 'a', { name: 'x' }, { ms: NOW + 50 * HOUR }), echo: true };
  assert.deepEqual(restamped([echo], correction({ refused: true })), []);
});

test('a change given up falls back to the value before it', () => {
  const one = entry(1, 'a', { name: 'x' }, { ms: 5 });
  one.previous = { fields: { name: 'old' }, stamps: { name: stampAt(1, OTHER) } };
  const row = {
    type: 'spot', id: 'a', fields: { name: 'x', note: 'dry' },
    stamps: { name: stampAt(5), note: stampAt(2) },
  };
  assert.deepEqual(takenBack(row, one), {
    ...row, fields: { name: 'old', note: 'dry' },
    stamps: { name: stampAt(1, OTHER), note: stampAt(2) },
  });
});

test('a later edit of the same group outlives the one given up', () => {
  const row = { type: 'spot', id: 'a', fields: { name: 'later' }, stamps: { name: stampAt(9) } };
  assert.deepEqual(takenBack(row, entry(1, 'a', { name: 'x' }, { ms: 5 })), row);
});

test('nothing is left of a record whose making was given up', () => {
  const row = { type: 'spot', id: 'a', fields: { name: 'x' }, stamps: { name: stampAt(5) } };
  assert.equal(takenBack(row, entry(1, 'a', { name: 'x' }, { ms: 5 })), null);
});
