/** What several finds bought for one price were asked for, and what each then costs. */

import { purchaseShares } from '../books/stock.js';

/** @typedef {import('./finds.js').Look} Look */

const LARGEST_WEIGHT = 10 ** 9;

/**
 * What was asked for all of it, when it is known of each; minor units.
 * @param {Look[]} looks
 * @returns {number | null}
 */
export function askedFor(looks) {
  return looks.reduce((/** @type {number | null} */ sum, { find: { ask } }) =>
    (sum === null || ask === null ? null : sum + ask), 0);
}

/**
 * How one price is shared by several finds: by what each likely brings, when that is known of all
 * of them; else null for each, which shares it equally.
 * @param {Look[]} looks
 * @returns {(number | null)[]}
 */
export function shareWeights(looks) {
  const known = looks.every(({ view }) => view.answer.ok);
  return looks.map(({ view }) =>
    (known ? Math.min(LARGEST_WEIGHT, view.answer.range.likely) : null));
}

/**
 * What each of the finds costs of one price, to the cent, as the books will have it.
 * @param {Look[]} looks
 * @param {string[]} ids of their pieces
 * @param {number} paid minor units
 * @returns {number[]}
 */
export function sharesOf(looks, ids, paid) {
  const weights = shareWeights(looks);
  const pieces = ids.map((id, i) => ({ id, share_weight: weights[i] }));
  const shares = purchaseShares({ id: '', total: paid }, pieces);
  return ids.map((id) => shares.get(id) ?? 0);
}
