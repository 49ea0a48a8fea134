/** @typedef {import('./open.js').Tx} Tx */
/** @typedef {import('./types.js').OutboxEntry} OutboxEntry */
/** @typedef {import('./types.js').RefusedEntry} RefusedEntry */

/**
 * Put a change behind all others.
 * @param {Tx} tx
 * @param {Omit<OutboxEntry, 'seq'>} entry
 */
export const enqueue = (tx, entry) => tx.objectStore('outbox').add(entry);

/**
 * The oldest entries, in the order of writing.
 * @param {Tx} tx
 * @param {number} [limit] all of them when it is left out
 * @returns {Promise<OutboxEntry[]>}
 */
export const oldest = (tx, limit) => tx.objectStore('outbox').getAll(null, limit);

/**
 * @param {Tx} tx
 * @param {string} type
 * @param {string} id
 * @returns {Promise<OutboxEntry[]>} what is still unsent of one record
 */
export const unsentOf = (tx, type, id) =>
  tx.objectStore('outbox').index('record').getAll(IDBKeyRange.only([type, id]));

/**
 * @param {Tx} tx
 * @param {OutboxEntry} entry
 */
export const putEntry = (tx, entry) => tx.objectStore('outbox').put(entry);

/**
 * Entries that are to be joined with no other any more.
 * @param {Tx} tx
 * @param {OutboxEntry[]} entries
 */
export const sendAlone = (tx, entries) =>
  Promise.all(entries.map((entry) => putEntry(tx, { ...entry, alone: true })));

/**
 * @param {Tx} tx
 * @param {number[]} seqs
 */
export const drop = (tx, seqs) =>
  Promise.all(seqs.map((seq) => tx.objectStore('outbox').delete(seq)));

/**
 * Drop a stretch of the outbox at once: entries that stand in it one behind the other.
 * @param {Tx} tx
 * @param {number[]} seqs
 */
export async function dropThrough(tx, seqs) {
  if (!seqs.length) return;
  const range = IDBKeyRange.bound(Math.min(...seqs), Math.max(...seqs));
  await tx.objectStore('outbox').delete(range);
}

/**
 * Nothing of an erased record is left to be sent, nor among what home refused.
 * @param {Tx} tx
 * @param {string} type
 * @param {string} id
 */
export async function forgetWaiting(tx, type, id) {
  await drop(tx, (await unsentOf(tx, type, id)).map((entry) => entry.seq));
  const refused = (await allRefused(tx))
    .filter(({ change }) => change.type === type && change.id === id);
  await Promise.all(refused.map(({ key }) => forgetRefused(tx, key)));
}

/**
 * How much is not yet at home, and since when. Needs outbox and photos in the transaction.
 * @param {Tx} tx
 * @returns {Promise<{unsent: number, oldestUnsentAt: number|null, photosUnsent: number,
 *   photosTroubled: number}>} troubled: refused by home, or lost
 */
export async function waiting(tx) {
  const outbox = tx.objectStore('outbox');
  const states = tx.objectStore('photos').index('state');
  const [unsent, first, photosUnsent, refused, lost] = await Promise.all([
    outbox.count(), oldest(tx, 1), states.count('queued'), states.count('refused'),
    states.count('lost'),
  ]);
  const oldestUnsentAt = first.length ? first[0].wall + first[0].offset : null;
  return { unsent, oldestUnsentAt, photosUnsent, photosTroubled: refused + lost };
}

/**
 * Keep a change that home refused, with the reason.
 * @param {Tx} tx
 * @param {RefusedEntry} entry
 */
export const setAside = (tx, entry) => tx.objectStore('refused').put(entry);

/**
 * @param {Tx} tx
 * @returns {Promise<RefusedEntry[]>}
 */
export const allRefused = (tx) => tx.objectStore('refused').getAll();

/**
 * @param {Tx} tx
 * @param {string} key
 */
export const forgetRefused = (tx, key) => tx.objectStore('refused').delete(key);
