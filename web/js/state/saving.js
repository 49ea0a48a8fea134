import { CrestrailError } from '../basis/errors.js';
import { newId } from '../basis/ids.js';
import { HybridClock } from '../records/stamps.js';
import { metaOf, putMeta } from '../store/meta.js';
import { enqueue, forgetWaiting, waiting } from '../store/outbox.js';
import { PHOTO_STORES, dropErased } from '../store/photos.js';
import { takeReceipt } from '../store/receipts.js';
import { putRows, rowOf } from '../store/records.js';
import { writeMakingRoom } from '../store/room.js';
import { erased, intentOf, undone, written } from '../store/writing.js';

/** @typedef {import('./household.js').Household} Household */
/** @typedef {import('../store/types.js').Row} Row */
/** @typedef {import('../store/types.js').Fields} Fields */
/** @typedef {import('../store/writing.js').Intent} Intent */
/** @typedef {import('../store/open.js').Tx} Tx */
/**
 * What is to be written; `numbered`: a sale that takes this phone's next receipt number; `seen`:
 * what the person was looking at, where that may not be what the phone holds by now.
 * @typedef {{type: string, id?: string, fields: Fields, numbered?: boolean,
 *   seen?: import('../store/writing.js').Seen}} Wish
 */
/** @typedef {Wish & {id: string}} Named */
/**
 * @typedef {object} Saved
 * @property {Row[]} rows as they are now
 * @property {Wish[]} undo what takes it back, last first
 * @property {Awaited<ReturnType<typeof waiting>>} counts
 */

const STORES = ['records', 'outbox', 'refused', 'meta', ...PHOTO_STORES];

/**
 * The wishes against what the person saw; those about one record become one.
 * @param {Household} household
 * @param {Named[]} wishes
 * @returns {Intent[]}
 * @throws {import('../basis/errors.js').CrestrailError} `bad_field` naming the fields
 */
export function intentsOf(household, wishes) {
  /** @type {Map<string, Named>} */
  const single = new Map();
  for (const wish of wishes) {
    const name = `${wish.type} ${wish.id}`;
    const known = single.get(name);
    single.set(name, { ...known, ...wish, fields: { ...known?.fields, ...wish.fields } });
  }
  return [...single.values()].map((wish) => ({
    ...intentOf(wish, household.memory.row(wish.type, wish.id)), numbered: wish.numbered,
  }));
}

/**
 * Records, outbox and clock in one durable transaction.
 * @param {Household} household
 * @param {Intent[]} intents
 * @returns {Promise<Saved>}
 */
export function save(household, intents) {
  const { clock, device, env, store } = household;
  return writeMakingRoom(store, STORES, async (tx) => {
    const hybrid = new HybridClock(device, await metaOf(tx, 'clock'));
    const at = { wall: clock.wall(), offset: clock.offset };
    /** @type {Saved["rows"]} */
    const rows = [];
    /** @type {Wish[]} */
    const undo = [];
    for (const intent of intents) {
      const stamp = hybrid.tick(at.wall + at.offset);
      const names = { key: newId(at.wall + at.offset, env.randomBytes), stamp };
      const whole = intent.numbered ? await numbered(tx, intent, env.randomBytes) : intent;
      const one = await saveOne(tx, whole, { names, at });
      rows.push(one.row);
      undo.unshift(one.undo);
    }
    await putMeta(tx, 'clock', hybrid.last);
    return { rows, undo, counts: await waiting(tx) };
  });
}

/**
 * @param {Tx} tx
 * @param {Intent} intent a sale
 * @param {(bytes: number) => Uint8Array} randomBytes
 * @returns {Promise<Intent>} with its receipt
 */
async function numbered(tx, intent, randomBytes) {
  const receipt = await takeReceipt(tx, randomBytes);
  const bases = { receipt: null, ...intent.bases };
  return { ...intent, fields: { ...intent.fields, receipt }, bases };
}

/**
 * @param {Tx} tx
 * @param {Intent} intent
 * @param {{names: {key: string, stamp: string}, at: {wall: number, offset: number}}} how
 * @returns {Promise<{row: Row, undo: Wish}>}
 * @throws {CrestrailError} `conflict`: it was erased meanwhile, so nothing could keep the values
 */
async function saveOne(tx, intent, { names, at }) {
  const stored = await rowOf(tx, intent.type, intent.id);
  if (stored?.erased && !intent.erase) {
    throw new CrestrailError('conflict', { reason: 'this was erased for good' });
  }
  const one = intent.erase ? erased(intent, names) : written(intent, stored, names);
  await putRows(tx, [one.row]);
  if (intent.erase) {
    await forgetWaiting(tx, intent.type, intent.id);
    await dropErased(tx, stored);
  }
  await enqueue(tx, { change: one.change, previous: one.previous, ...at });
  return { row: one.row, undo: undone(one.change, one.previous, !stored) };
}
