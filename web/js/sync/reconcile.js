import { newId } from '../basis/ids.js';
import { namesIn } from '../records/groups.js';
import { ERASED } from '../records/merge.js';
import { putMeta } from '../store/meta.js';
import { enqueue, oldest } from '../store/outbox.js';
import { requeuePhotos } from '../store/photos.js';
import { allRows } from '../store/records.js';
import { pick } from '../store/writing.js';

/** @typedef {import('../store/open.js').Tx} Tx */
/** @typedef {import('../store/types.js').Row} Row */
/** @typedef {import('../store/types.js').Change} Change */
/** @typedef {import('../store/types.js').Stamps} Stamps */

/**
 * Home does not know the cursor: it was restored or copied back. Everything is read again from
 * the start, and what home has is noted on the way.
 * @param {Tx} tx
 */
export async function startReconcile(tx) {
  await tx.objectStore('home_stamps').clear();
  await putMeta(tx, 'cursor', null);
  await putMeta(tx, 'reconcile', true);
}

/**
 * Everything of home's was read: queue what it lacks, under the stamps it was written with.
 * @param {Tx} tx
 * @param {{wall: number, offset: number, randomBytes: (n: number) => Uint8Array}} names
 * @returns {Promise<number>} how many records home lacks, in whole or in part
 */
export async function enqueueMissing(tx, { wall, offset, randomBytes }) {
  const home = new Map((await tx.objectStore('home_stamps').getAll())
    .map((/** @type {Row} */ one) => [`${one.type} ${one.id}`, one.stamps]));
  const queued = new Set((await oldest(tx))
    .flatMap(({ change }) => Object.values(change.stamps).map((s) => `${change.id} ${s}`)));
  let count = 0;
  for (const row of await allRows(tx)) {
    const theirs = home.get(`${row.type} ${row.id}`) ?? {};
    const groups = lacking(row, theirs).filter((g) => !queued.has(`${row.id} ${row.stamps[g]}`));
    if (!groups.length) continue;
    const change = changeFor(row, groups, theirs, newId(wall + offset, randomBytes));
    const previous = { fields: {}, stamps: {} };
    await enqueue(tx, { change, previous, wall, offset, echo: true });
    count += 1;
  }
  await requeuePhotos(tx);
  await tx.objectStore('home_stamps').clear();
  await putMeta(tx, 'reconcile', false);
  return count;
}

/**
 * @param {Row} row
 * @param {Stamps} theirs
 * @returns {string[]} the groups that home has in no, or in an older, version
 */
const lacking = (row, theirs) =>
  theirs[ERASED] ? [] : Object.keys(row.stamps).filter((g) => row.stamps[g] > (theirs[g] ?? ''));

/**
 * @param {Row} row
 * @param {string[]} groups
 * @param {Stamps} theirs
 * @param {string} key
 * @returns {Change}
 */
function changeFor(row, groups, theirs, key) {
  const { type, id } = row;
  const stamps = pick(row.stamps, groups);
  if (row.erased) return { key, type, id, erase: true, stamps };
  const names = groups.flatMap((group) => namesIn(type, group));
  const bases = Object.fromEntries(groups.map((group) => [group, theirs[group] ?? null]));
  return { key, type, id, fields: pick(row.fields, names), stamps, bases };
}
