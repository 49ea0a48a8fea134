/** @typedef {import('./open.js').Tx} Tx */
/** @typedef {import('./types.js').Row} Row */

/**
 * All records of the household.
 * @param {Tx} tx
 * @returns {Promise<Row[]>}
 */
export const allRows = (tx) => tx.objectStore('records').getAll();

/**
 * @param {Tx} tx
 * @param {string} type
 * @param {string} id
 * @returns {Promise<Row|undefined>}
 */
export const rowOf = (tx, type, id) => tx.objectStore('records').get([type, id]);

/**
 * @param {Tx} tx
 * @param {[string, string][]} keys (type, id)
 * @returns {Promise<Row[]>} those that exist
 */
export async function rowsOf(tx, keys) {
  const found = await Promise.all(keys.map(([type, id]) => rowOf(tx, type, id)));
  return /** @type {Row[]} */ (found.filter(Boolean));
}

/**
 * @param {Tx} tx
 * @param {Row[]} rows
 */
export const putRows = (tx, rows) =>
  Promise.all(rows.map((row) => tx.objectStore('records').put(row)));

/**
 * @param {Tx} tx
 * @param {string} type
 * @param {string} id
 */
export const dropRow = (tx, type, id) => tx.objectStore('records').delete([type, id]);
