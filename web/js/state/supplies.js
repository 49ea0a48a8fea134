/** Supplies used up on a piece: shown there with their cost, posted nowhere. */

import { scale } from '../basis/money.js';

/** @typedef {import('./household.js').Household} Household */
/** @typedef {import('./memory.js').Live} Live */

/**
 * What so much of a supply cost, by the price of its pack; half a cent counts up.
 * @param {Live|null} supply
 * @param {number|null|undefined} milliunits
 * @returns {number|null} minor units; null where the pack's price or size is not known
 */
export function costOfUse(supply, milliunits) {
  if (!supply?.milliunits || !Number.isFinite(supply.cost) || !Number.isInteger(milliunits)) {
    return null;
  }
  return scale(supply.cost, /** @type {number} */ (milliunits), supply.milliunits);
}

/**
 * @param {Household} household
 * @param {string} pieceId
 * @returns {{uses: Live[], cost: number, unknown: number}} uses in the order they were written;
 *   their cost in all; how many of them have no known cost
 */
export function suppliesOf(household, pieceId) {
  const uses = household.where('supply_use', 'piece_id', pieceId);
  const known = uses.filter((use) => Number.isFinite(use.cost));
  return {
    uses,
    cost: known.reduce((sum, use) => sum + use.cost, 0),
    unknown: uses.length - known.length,
  };
}
