/** What each look of a find does to its price, in money. Mirrors `pricing/moves.py`. */
import { toMinor } from '../basis/rounding.js';
import { cross, modelFrom } from './linear.js';
import { Z90 } from './normal.js';

/**
 * @typedef {object} Move money in minor units
 * @property {string} trait
 * @property {boolean} known whether the book knows it
 * @property {number} amount how much less the piece would bring without it
 * @property {number} low the 10% point of that
 * @property {number} high
 * @property {number} sales own ones with it
 */

/**
 * For each trait what it does to a piece that likely brings `likely`.
 * @param {any} book
 * @param {number} likely
 * @param {string[]} traits
 * @returns {Move[]}
 */
export function movedBy(book, likely, traits) {
  const model = modelFrom(book.price);
  const seen = book.counts.traits ?? {};
  return traits.map((trait) => {
    const at = model.index.get(`trait:${trait}`);
    let middle = 0;
    let reach = 0;
    if (at !== undefined) {
      /** @type {import('./linear.js').Row} */
      const one = [[at, 1]];
      middle = model.m[at];
      reach = Z90 * model.c * Math.sqrt(model.s2 * cross(model, one, one));
    }
    const [amount, low, high] = [middle, middle - reach, middle + reach]
      .map((x) => toMinor(likely - likely * Math.exp(-x)));
    const sales = Object.hasOwn(seen, trait) ? seen[trait] : 0;
    return { trait, known: at !== undefined, amount, low, high, sales };
  });
}
