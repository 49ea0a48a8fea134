import { newId } from '../basis/ids.js';
import { namesIn } from '../records/groups.js';
import { ERASED } from '../records/merge.js';
import { putMeta } from '../store/meta.js';
import { oldest, putEntry } from '../store/outbox.js';
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
  const theirs = await tx.objectStore('home_stamps').getAll();
  const home = new Map(theirs.map((one) => [`${one.type} ${one.id}`, one.stamps]));
  const waiting = await oldest(tx);
  const queued = new Set(waiting.flatMap(({ change }) => namesOf(change)));
  /** @type {Change[]} */
  const changes = [];
  for (const row of await allRows(tx)) {
    const held = home.get(`${row.type} ${row.id}`);
    const groups = lacking(row, held ?? {})
      .filter((group) => !held || !queued.has(`${row.id} ${row.stamps[group]}`));
    const key = newId(wall + offset, randomBytes);
    if (groups.length) changes.push(changeFor(row, groups, held ?? {}, key));
  }
  // in front of what waits: a record has to be made again before its newest edit arrives
  let seq = (waiting[0]?.seq ?? 1) - changes.length;
  for (const change of changes) {
    const previous = { fields: {}, stamps: {} };
    await putEntry(tx, { seq, change, previous, wall, offset, echo: true });
    seq += 1;
  }
  await requeuePhotos(tx);
  await tx.objectStore('home_stamps').clear();
  await putMeta(tx, 'reconcile', false);
  return changes.length;
}

/** @param {Change} change */
const namesOf = ({ id, stamps }) => Object.values(stamps).map((stamp) => `${id} ${stamp}`);

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
