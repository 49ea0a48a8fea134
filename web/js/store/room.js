import { PHOTO_STORES, makeRoom } from './photos.js';

/** @typedef {import('./open.js').Store} Store */
/** @typedef {import('./open.js').Tx} Tx */

/** What is freed at least for records, bytes: they are small, and the next save comes soon. */
const FOR_RECORDS = 4_000_000;

/**
 * As `store.write`; on a full phone the oldest pictures that are safely at home are given up, and
 * the work is tried once more. So no price is lost for a picture.
 * @template T
 * @param {Store} store
 * @param {string[]} stores
 * @param {(tx: Tx) => Promise<T>} work
 * @param {number} [bytes] how much room is wanted
 * @returns {Promise<T>}
 * @throws {CrestrailError} `disk_full` when there was nothing to give up, or it was not enough
 */
export async function writeMakingRoom(store, stores, work, bytes = FOR_RECORDS) {
  try {
    return await store.write(stores, work);
  } catch (error) {
    if (/** @type {any} */ (error)?.code !== 'disk_full') throw error;
    if (!(await store.write(PHOTO_STORES, (tx) => makeRoom(tx, bytes)))) throw error;
  }
  return store.write(stores, work);
}
