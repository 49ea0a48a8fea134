import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';
import * as merging from '../../web/js/records/merge.js';

const { merge } = merging;
const cases = JSON.parse(readFileSync(new URL('../vectors/merge.json', import.meta.url), 'utf8'));
const [A, B] = ['a'.repeat(16), 'b'.repeat(16)];
const stamp = (ms, device = A) => `${ms.toString(16).padStart(12, '0')}-0000-${device}`;
const sale = (stamps, fields) => ({ type: 'sale', id: 's', fields, stamps });
const mergeAll = (copies) => copies.reduce((held, copy) => merge(held, copy).record, null);

/** A small seeded generator (mulberry32), so that a failure can be run again. */
const seeded = (seed) => () => {
  seed = (seed + 0x6d2b79f5) | 0;
  let t = Math.imul(seed ^ (seed >>> 15), 1 | seed);
  t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
  return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
};

const GROUPS = { money: ['price', 'fee'], buyer: ['buyer'], deleted: ['deleted'], later: ['later'] };

/** Copies of one sale out of a pool of writes, in which a stamp names one write. */
const copiesOf = (random, count) => {
  const pick = (list) => list[Math.floor(random() * list.length)];
  const write = (names, n) => ({
    stamp: stamp(1000 * n + Math.floor(random() * 900), pick([A, B])),
    values: Object.fromEntries(names.map((name) => [name, pick([null, 1, 'x', true])])),
  });
  const pool = Object.entries(GROUPS).map(([group, names]) => [
    group,
    [1, 2, 3].map((n) => write(names, n)),
  ]);
  return Array.from({ length: count }, () => {
    const copy = sale({}, {});
    if (random() < 0.05) {
      const erasure = { '*': stamp(Math.floor(random() * 9000)) };
      return { type: 'sale', id: 's', fields: {}, stamps: erasure, erased: true };
    }
    for (const [group, writes] of pool) {
      if (random() < 0.4) continue;
      const chosen = pick(writes);
      copy.stamps[group] = chosen.stamp;
      Object.assign(copy.fields, chosen.values);
    }
    return copy;
  });
};

test('merges agree with the server in every order', () => {
  for (const { copies, merged } of cases.merges) {
    assert.deepEqual(mergeAll(copies), merged);
    assert.deepEqual(mergeAll([...copies].reverse()), merged);
  }
});

test('conflicts agree with the server', () => {
  for (const { current, change, found } of cases.conflicts) {
    const seen = merging.conflicts(current, change);
    const said = seen.map(({ group, kept, other }) => [group, kept.stamp, other.stamp]);
    assert.deepEqual(said.sort((a, b) => (a[0] < b[0] ? -1 : 1)), found);
  }
});

test('merging commutes, associates and is idempotent', () => {
  for (let seed = 1; seed <= 500; seed += 1) {
    const [a, b, c] = copiesOf(seeded(seed), 3);
    const said = `seed ${seed}`;
    const ab = merge(a, b).record;
    assert.deepEqual(merge(b, a).record, ab, said);
    assert.deepEqual(merge(ab, c).record, merge(a, merge(b, c).record).record, said);
    assert.deepEqual(merge(ab, b).record, ab, said);
    assert.deepEqual(merge(ab, b).winners, [], said);
    assert.deepEqual(merge(ab, ab).record, ab, said);
  }
});

test('every write stands or is named as lost', () => {
  for (let seed = 501; seed <= 800; seed += 1) {
    const [a, b] = copiesOf(seeded(seed), 2);
    const { record, losers } = merge(a, b);
    if (record.erased) {
      assert.deepEqual(losers, []);
      continue;
    }
    const writes = new Set([a, b].flatMap((r) => Object.entries(r.stamps).map(String)));
    const standing = Object.entries(record.stamps).map(String);
    const lost = losers.map((write) => `${write.group},${write.stamp}`);
    assert.deepEqual([...standing, ...lost].sort(), [...writes].sort(), `seed ${seed}`);
  }
});

test('different fields of two phones both survive, one group is never mixed', () => {
  const ours = sale({ money: stamp(5), buyer: stamp(1) }, { price: 5, fee: 1, buyer: 'Ada' });
  const theirs = sale({ money: stamp(1), buyer: stamp(6, B) }, { price: 9, fee: 2, buyer: 'Bo' });
  assert.deepEqual(merge(ours, theirs).record.fields, { price: 5, fee: 1, buyer: 'Bo' });
});

test('a later edit leaves a deleted record deleted and is named', () => {
  const gone = sale({ deleted: stamp(5), buyer: stamp(1) }, { deleted: true, buyer: 'Ada' });
  const { record } = merge(gone, sale({ buyer: stamp(9, B) }, { buyer: 'Bo' }));
  assert.equal(record.fields.deleted, true);
  assert.deepEqual(merging.changedAfterDeleted(record), ['buyer']);
  assert.deepEqual(merging.changedAfterDeleted(gone), []);
});

test('an erasure beats every stamp and hands no value on', () => {
  const held = sale({ buyer: stamp(99) }, { buyer: 'Ada' });
  const erase = { type: 'sale', id: 's', erase: true, stamps: { '*': stamp(1, B) } };
  const { record, losers } = merge(held, erase);
  const erased = { type: 'sale', id: 's', fields: {}, stamps: erase.stamps, erased: true };
  assert.deepEqual([record, losers], [erased, []]);
  assert.deepEqual(merge(record, held), { record, winners: [], losers: [] });
  assert.deepEqual(merging.conflicts(record, held), []);
});

test('a conflict in a quiet group says so', () => {
  const piece = { type: 'piece', id: 'p', fields: { spot_id: 'x' }, stamps: { spot_id: stamp(5) } };
  const change = { ...piece, fields: { spot_id: 'y' }, stamps: { spot_id: stamp(9, B) } };
  assert.deepEqual(merging.conflicts(piece, change).map((c) => c.quiet), [true]);
});

test('values are the same as JSON has it', () => {
  const same = merging.sameValues;
  assert(same({ x: null }, {}));
  assert(same({ x: { a: 1, b: [2] } }, { x: { b: [2], a: 1 } }));
  for (const [a, b] of [[1, true], [0, false], [[1, 2], [2, 1]], [{ a: null }, {}], ['1', 1]]) {
    assert(!same({ x: a }, { x: b }));
  }
});
