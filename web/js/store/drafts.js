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

/** @param {Tx} tx */
export const countDrafts = (tx) => tx.objectStore('drafts').count();
