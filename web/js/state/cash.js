/** Where the cash figure of the ledger comes from. */

import { Facts } from '../books/facts.js';
import { postings } from '../books/postings.js';
import { RECORD_TYPES } from '../records/schema.js';

/** @typedef {import('./household.js').Household} Household */

/** The facts that move cash, in the order in which a person thinks of them. */
export const CASH_FACTS = /** @type {const} */ ([
  'setting', 'cash_move', 'purchase', 'expense', 'payment', 'sale', 'return',
]);

/**
 * What each kind of fact did to cash; they add up to the ledger's figure. Kinds that moved none
 * are left out.
 * @param {Household} household
 * @returns {{fact: typeof CASH_FACTS[number], amount: number}[]} minor units
 */
export function cashBySource(household) {
  const types = Object.keys(RECORD_TYPES);
  const records = Object.fromEntries(types.map((type) => [type, household.all(type)]));
  const zone = household.setting.time_zone ?? 'UTC';
  /** @type {Map<string, number>} */
  const sums = new Map();
  for (const one of postings(new Facts(records, household.when().at, zone))) {
    if (one.account !== 'cash') continue;
    sums.set(one.fact_type, (sums.get(one.fact_type) ?? 0) + one.amount);
  }
  return CASH_FACTS.filter((fact) => sums.get(fact))
    .map((fact) => ({ fact, amount: sums.get(fact) ?? 0 }));
}
