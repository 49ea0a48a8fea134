/**
 * What a piece will bring: the log of the price is a sum of what its kind and traits add.
 * Mirrors `pricing/resale.py`.
 */
import { column, dot, spread } from './linear.js';
import { Z90 } from './normal.js';

/** Typical prices are those of a piece finished to this grade, the usual one. */
export const REFERENCE_GRADE = 4;

/**
 * @typedef {object} Looks what the price of a piece depends on
 * @property {string|null} kind
 * @property {string[]} traits
 * @property {number} count
 * @property {number} grade
 * @property {number|null} kindPrice typical price (minor units) of one piece of a kind that the
 *   book does not know; null when nobody said it
 *
 * @typedef {object} Resale a log-normal price, of the log of minor units
 * @property {number} mu
 * @property {number} s
 * @property {number} [doubt] the part of the variance that comes from not knowing yet what the
 *   kind and its traits bring
 */

/** @param {Resale} r @param {number} z */
export function quantile(r, z) {
  return Math.exp(r.mu + r.s * z);
}

/** The price that one piece in ten stays below. @param {Resale} r */
export function low(r) {
  return quantile(r, -Z90);
}

/** The middle price: half bring more, half less. @param {Resale} r */
export function likely(r) {
  return Math.exp(r.mu);
}

/** The price that one piece in ten exceeds. @param {Resale} r */
export function high(r) {
  return quantile(r, Z90);
}

/** The average price, above the middle one because some bring much more. @param {Resale} r */
export function mean(r) {
  return Math.exp(r.mu + (r.s * r.s) / 2);
}

/**
 * The average price to count on: doubt is no chance of more. Kinds that one thinks too much of
 * are the ones that look worth buying.
 * @param {Resale} r
 */
export function counted(r) {
  return Math.exp(r.mu + (r.s * r.s - (r.doubt ?? 0)) / 2);
}

/**
 * The row of a piece; a trait the book does not know adds nothing.
 * @param {import('./linear.js').Model} model
 * @param {Looks} looks
 * @returns {import('./linear.js').Row}
 */
export function rowOf(model, looks) {
  /** @type {import('./linear.js').Row} */
  const row = [[column(model, 'all'), 1]];
  for (const name of [`kind:${looks.kind}`, ...looks.traits.map((t) => `trait:${t}`)]) {
    const i = model.index.get(name);
    if (i !== undefined) row.push([i, 1]);
  }
  row.push([column(model, 'grade'), looks.grade - REFERENCE_GRADE]);
  row.push([column(model, 'lnn'), Math.log(looks.count)]);
  return row;
}

/**
 * What to add to the variance of a new price, per noise variance: `unknown` for a kind the book
 * does not know, for another what its noise differs by from that of all.
 * @param {import('./linear.js').Model} model
 * @param {string|null} kind
 * @param {{kind: number}} unknown
 */
export function moreNoise(model, kind, unknown) {
  if (!model.index.has(`kind:${kind}`)) return unknown.kind;
  return (model.noise.get(/** @type {string} */ (kind)) ?? 1) - 1;
}

/**
 * What the piece brings; null where neither the book nor the person knows its kind. `unknown`
 * holds the prior variance per noise variance of a level not in the book.
 * @param {import('./linear.js').Model} model
 * @param {Looks} looks
 * @param {{kind: number}} unknown
 * @returns {Resale|null}
 */
export function predict(model, looks, unknown) {
  const known = model.index.has(`kind:${looks.kind}`);
  if (!known && looks.kindPrice === null) return null;
  const row = rowOf(model, looks);
  let mu = dot(model, row);
  if (!known && looks.kindPrice !== null) mu += Math.log(looks.kindPrice);
  const more = moreNoise(model, looks.kind, unknown);
  const s = spread(model, row, more);
  const single = model.c * model.c * model.s2 * (known ? 1 + more : 1);
  return { mu, s, doubt: Math.max(0, s * s - single) };
}
