/** @typedef {import('./open.js').Tx} Tx */

/**
 * One small fact about this phone's store: cursor, clock, offset, book, identity, lastHomeAt …
 * @param {Tx} tx
 * @param {string} name
 * @returns {Promise<any>} undefined when it was never set
 */
export const metaOf = (tx, name) => tx.objectStore('meta').get(name);

/**
 * @param {Tx} tx
 * @param {string} name
 * @param {any} value
 */
export const putMeta = (tx, name, value) => tx.objectStore('meta').put(value, name);

/**
 * @param {Tx} tx
 * @returns {Promise<Record<string, any>>} all of it by name
 */
export async function allMeta(tx) {
  const store = tx.objectStore('meta');
  const [names, values] = await Promise.all([store.getAllKeys(), store.getAll()]);
  return Object.fromEntries(names.map((name, i) => [String(name), values[i]]));
}
