import assert from 'node:assert/strict';
import test from 'node:test';

import { SyncEngine } from '../../web/js/sync/engine.js';

Object.defineProperty(globalThis, 'navigator', { value: {}, configurable: true });

const NOTHING = { unsent: 0, oldestUnsentAt: null, photosUnsent: 0, photosTroubled: 0 };

/** An engine at work on a household whose store answers with `read`; `waits` collects its timer. */
function engineOver(read, round) {
  const waits = [];
  const env = { random: () => 0, clearTimeout: () => {}, setTimeout: (_, ms) => waits.push(ms) };
  const household = {
    id: 'h', env, store: { read }, notify: () => {}, channel: { postMessage: () => {} },
    clock: { offset: 0 }, now: () => new Date(0),
  };
  const engine = new SyncEngine(household, { round });
  engine.running = true;
  return { engine, waits };
}

test('i11: a store that fails is said, and the next try comes by itself', async () => {
  const gone = new Error('the store is gone');
  const { engine, waits } = engineOver(() => Promise.reject(gone), () => Promise.reject(gone));
  await engine.syncNow();
  await engine.syncNow();
  assert.deepEqual(waits, [1000, 2000]);
  assert.equal(engine.status.now.state, 'trouble');
  assert.equal(engine.status.now.message, 'the store is gone');
});

test('i11: a store that works again ends the trouble', async () => {
  let works = false;
  const read = (stores) =>
    works ? Promise.resolve(stores.includes('outbox') ? NOTHING : []) : Promise.reject(new Error());
  const { engine, waits } = engineOver(read, () => Promise.resolve({ note: '', at: 5 }));
  await engine.syncNow();
  works = true;
  await engine.syncNow();
  assert.deepEqual(waits, [1000, 60000]);
  assert.equal(engine.status.now.state, 'home');
});
