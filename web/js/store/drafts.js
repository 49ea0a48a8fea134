/** @typedef {import('./open.js').Tx} Tx */

/**
 * @param {Tx} tx
 * @param {string} name
 * @param {any} value null throws the draft away
 */
export function putDraft(tx, name, value) {
  const drafts = tx.objectStore('drafts');
  return value === null ? drafts.delete(name) : drafts.put(value, name);
}

/**
 * @param {Tx} tx
 * @param {string} name
 * @returns {Promise<any>} undefined where there is none
 */
export const draftOf = (tx, name) => tx.objectStore('drafts').get(name);

/**
 * @param {Tx} tx
 * @returns {Promise<[string, any][]>} all half-typed work by its name
 */
export async function allDrafts(tx) {
  const drafts = tx.objectStore('drafts');
  const [names, values] = await Promise.all([drafts.getAllKeys(), drafts.getAll()]);
  return names.map((name, i) => [String(name), values[i]]);
}

/** @param {Tx} tx */
export const countDrafts = (tx) => tx.objectStore('drafts').count();
