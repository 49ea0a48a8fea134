/**
 * One price for several finds: the most to pay for all of them. Mirrors `pricing/lots.py`.
 *
 * What is expected adds up. The chance of a cash loss is taken over every pattern of sold and
 * unsold pieces; within a pattern the sum of the prices is a log-normal with its exact mean and
 * variance (Fenton, IRE Trans. Comm. Systems 8, 1960). Of more than ten the ten that bring most on
 * average are reckoned one by one, the others together.
 */
import { phi } from './normal.js';
import { onSale, profitLimit } from './offer.js';
import { mean as meanOf } from './resale.js';

/** So many pieces are reckoned one by one: 1,024 patterns. */
export const ONE_BY_ONE = 10;
const HALVINGS = 100;
/** The limit is found to this part of a minor unit. */
const CLOSE = 1e-6;

/**
 * @typedef {import('./offer.js').Deal} Deal
 * @typedef {object} Lot deals bought for one price
 * @property {Deal[]} deals
 * @property {number[][]} shared covariance of the logs of their prices
 * @typedef {object} Pattern one way it may go
 * @property {number} weight
 * @property {number} mu of the log-normal sum of the prices
 * @property {number} s 0: nothing that varies is sold
 * @property {number} free the cash of it, costs taken off
 * @typedef {object} Sums what the patterns of a lot are added up from
 * @property {Deal[]} deals
 * @property {number[]} means
 * @property {number[]} single
 * @property {number[]} rest
 * @property {number[][]} withEach
 */

/** @param {Lot} lot @returns {Sums} */
function sumsOf({ deals, shared }) {
  const means = deals.map((deal) => meanOf(deal.resale));
  const order = means.map((_, i) => i).sort((i, j) => means[j] - means[i] || i - j);
  const rising = (/** @type {number} */ i, /** @type {number} */ j) => i - j;
  return {
    deals, means,
    single: order.slice(0, ONE_BY_ONE).sort(rising),
    rest: order.slice(ONE_BY_ONE).sort(rising),
    withEach: means.map((a, i) => means.map((b, j) => a * b * Math.expm1(shared[i][j]))),
  };
}

/**
 * Mean and variance of what the others bring, and their cash beside it.
 * @param {Sums} sums
 */
function restOf({ deals, means, rest, withEach }) {
  let mean = 0;
  let variance = 0;
  let free = 0;
  for (const i of rest) {
    const deal = deals[i];
    const kept = 1 - deal.terms.fee;
    const sold = 1 - deal.u;
    const unlike = onSale(deal.terms) + deal.salvage;
    mean += sold * means[i];
    free += deal.salvage - sold * unlike - deal.cost;
    for (const j of rest) variance += sold * (1 - deals[j].u) * withEach[i][j];
    if (kept > 0) {
      const step = means[i] - unlike / kept;
      variance += sold * deal.u * (withEach[i][i] + step * step);
    }
  }
  return { mean, variance, free };
}

/**
 * The pattern in which the pieces of `mask` sell.
 * @param {Sums} sums
 * @param {{mean: number, variance: number, free: number}} others
 * @param {number} mask
 * @returns {Pattern}
 */
function pattern({ deals, means, single, rest, withEach }, others, mask) {
  let weight = 1;
  let { mean, variance, free } = others;
  /** @type {number[]} */
  const sold = [];
  single.forEach((i, bit) => {
    const deal = deals[i];
    if ((mask >> bit) & 1) {
      sold.push(i);
      weight *= 1 - deal.u;
      mean += means[i];
      free -= onSale(deal.terms);
    } else {
      weight *= deal.u;
      free += deal.salvage;
    }
    free -= deal.cost;
  });
  for (const i of sold) {
    for (const j of sold) variance += withEach[i][j];
    for (const j of rest) variance += 2 * (1 - deals[j].u) * withEach[i][j];
  }
  if (mean <= 0) return { weight, mu: 0, s: 0, free };
  const s2 = Math.log1p(variance / (mean * mean));
  return { weight, mu: Math.log(mean) - s2 / 2, s: Math.sqrt(s2), free };
}

/**
 * Every way the lot may go, what never happens left out.
 * @param {Lot} lot
 * @returns {Pattern[]}
 */
export function patternsOf(lot) {
  const sums = sumsOf(lot);
  const others = restOf(sums);
  return Array.from({ length: 2 ** sums.single.length }, (_, mask) => pattern(sums, others, mask))
    .filter(({ weight }) => weight > 0);
}

/** @param {Pattern[]} patterns @param {number} kept @param {number} paid */
function loss(patterns, kept, paid) {
  let total = 0;
  for (const { weight, mu, s, free } of patterns) {
    const net = paid - free;
    if (net > 0) total += weight * (s > 0 && kept > 0 ? phi((Math.log(net / kept) - mu) / s) : 1);
  }
  return total;
}

/**
 * The chance to get back less cash than `paid` and the other costs.
 * @param {Lot} lot
 * @param {number} paid
 */
export function lossChance(lot, paid) {
  return loss(patternsOf(lot), 1 - lot.deals[0].terms.fee, paid);
}

/**
 * The price at which the expected profit is just the least one wants of each piece.
 * @param {Lot} lot
 */
export function expectedLimit({ deals }) {
  let total = 0;
  for (const deal of deals) total += profitLimit(deal);
  return total;
}

/**
 * The most to pay, not below 0, and which limit sets it.
 * @param {Lot} lot
 * @returns {{most: number, binding: 'profit' | 'loss' | 'none'}}
 */
export function mostFor(lot) {
  const byProfit = expectedLimit(lot);
  if (byProfit <= 0) return { most: 0, binding: 'none' };
  const { terms } = lot.deals[0];
  const patterns = patternsOf(lot);
  const chance = (/** @type {number} */ paid) => loss(patterns, 1 - terms.fee, paid);
  if (chance(byProfit) <= terms.tolerance) return { most: byProfit, binding: 'profit' };
  if (chance(0) > terms.tolerance) return { most: 0, binding: 'none' };
  let [low, high] = [0, byProfit];
  for (let k = 0; k < HALVINGS && high - low >= CLOSE; k += 1) {
    const middle = (low + high) / 2;
    if (chance(middle) <= terms.tolerance) low = middle;
    else high = middle;
  }
  return { most: low, binding: 'loss' };
}

/**
 * The lot without one piece.
 * @param {Lot} lot
 * @param {number} i
 * @returns {Lot}
 */
export function without({ deals, shared }, i) {
  const others = (/** @type {unknown} */ _, /** @type {number} */ k) => k !== i;
  return { deals: deals.filter(others), shared: shared.filter(others).map((r) => r.filter(others)) };
}
