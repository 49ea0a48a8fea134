/**
 * What to ask, and when to drop it: the expected value of a falling price. Mirrors
 * `pricing/asking.py`. Prices are agreed prices in minor units.
 */
import { NODES, phi } from './normal.js';
import { dwell, unsold } from './selling.js';

/** The 80% point of the standard normal distribution: no plan asks more than that price. */
const Z80 = 0.8416212335729143;
/** Log distances from the likely price at which a price is tried. */
export const OFFSETS = Array.from({ length: 91 }, (_, i) => (i * 2 - 80) / 100);
const BETTER = 1e-9;
const WEEK = 7;

/**
 * @typedef {object} Market what a plan depends on
 * @property {import('./resale.js').Resale} resale
 * @property {import('./selling.js').Rate} rate
 * @property {number} omega spread from buyer to buyer
 * @property {number} fee a share of the price
 * @property {number} onSale what a sale costs whatever it brings
 * @property {number} hold standing cost per day
 * @property {number} salvage what it goes for when it must go
 *
 * @typedef {object} Plan equal steps of `step` days
 * @property {number[]} offsets log distance of each price from the likely one
 * @property {number} step days
 * @property {number[]} sold chance to sell in each step
 * @property {number} unsold chance to stand at the end
 * @property {number} days expected days of standing
 * @property {number} value minor units
 */

/**
 * Chance to sell in each step, expected days and chance left, for known shares of takers.
 * @param {import('./selling.js').Rate} rate
 * @param {number[]} shares
 * @param {number} step
 */
export function stand(rate, shares, step) {
  const sold = [];
  let days = 0;
  let exposure = 0;
  let left = 1;
  for (const share of shares) {
    days += dwell(rate, exposure, share, step);
    exposure += share * step;
    const after = unsold(rate, exposure);
    sold.push(left - after);
    left = after;
  }
  return { sold, days, left };
}

/**
 * The shares of buyers who take the piece, computed once per offset.
 * @param {Market} market
 * @returns {(offset: number) => number[]}
 */
function shareTable(market) {
  /** @type {Map<number, number[]>} */
  const known = new Map();
  return (offset) => {
    let row = known.get(offset);
    if (row === undefined) {
      row = NODES.map(([z]) => phi((market.resale.s * z - offset) / market.omega));
      known.set(offset, row);
    }
    return row;
  };
}

/**
 * What asking these prices, each for `step` days, comes to.
 * @param {Market} market
 * @param {number[]} offsets
 * @param {number} step
 * @param {(offset: number) => number[]} [shares] a table kept between calls
 * @returns {Plan}
 */
export function evaluate(market, offsets, step, shares = shareTable(market)) {
  const table = offsets.map(shares);
  const sold = offsets.map(() => 0);
  let days = 0;
  let left = 0;
  NODES.forEach(([, weight], j) => {
    const at = stand(market.rate, table.map((row) => row[j]), step);
    at.sold.forEach((chance, i) => { sold[i] += weight * chance; });
    days += weight * at.days;
    left += weight * at.left;
  });
  let value = market.salvage * left - market.hold * days;
  offsets.forEach((offset, i) => {
    const price = Math.exp(market.resale.mu + offset);
    value += ((1 - market.fee) * price - market.onSale) * sold[i];
  });
  return { offsets: [...offsets], step, sold, unsold: left, days, value };
}

/** The offsets that may be asked. @param {Market} market */
export function allowed(market) {
  return OFFSETS.filter((o) => o <= Z80 * market.resale.s + 1e-12);
}

/**
 * The best single price for the whole horizon (days); of equals the lowest.
 * @param {Market} market
 * @param {number} horizon
 */
export function bestConstant(market, horizon) {
  let best = evaluate(market, [OFFSETS[0]], horizon);
  for (const offset of allowed(market).slice(1)) {
    const tried = evaluate(market, [offset], horizon);
    if (tried.value > best.value + BETTER) best = tried;
  }
  return best;
}

/**
 * The plan reached from `start` by bettering one step after the other until none helps.
 * @param {Market} market
 * @param {number[]} start
 * @param {number} step
 */
export function climb(market, start, step) {
  const grid = allowed(market);
  const shares = shareTable(market);
  let best = evaluate(market, start, step, shares);
  for (;;) {
    const before = best.value;
    for (let at = 0; at < start.length; at += 1) {
      const offsets = [...best.offsets];
      const top = at > 0 ? offsets[at - 1] : Infinity;
      const bottom = at + 1 < offsets.length ? offsets[at + 1] : -Infinity;
      for (const offset of grid.filter((o) => bottom <= o && o <= top)) {
        offsets[at] = offset;
        const tried = evaluate(market, offsets, step, shares);
        if (tried.value > best.value + BETTER) best = tried;
      }
    }
    if (best.value <= before + BETTER) return best;
  }
}

/**
 * The best never rising plan of equal steps found from the best constant price.
 * @param {Market} market
 * @param {number} horizon
 * @param {number} [steps]
 */
export function bestPlan(market, horizon, steps = 4) {
  const [offset] = bestConstant(market, horizon).offsets;
  return climb(market, Array(steps).fill(offset), horizon / steps);
}

/**
 * The chance that the piece is sold by a day of the plan (days from its start).
 * @param {Market} market
 * @param {Plan} plan
 * @param {number} day
 */
export function chanceBy(market, plan, day) {
  const table = plan.offsets.map(shareTable(market));
  let left = 0;
  NODES.forEach(([, weight], j) => {
    let exposure = 0;
    table.forEach((row, i) => {
      exposure += row[j] * Math.min(plan.step, Math.max(0, day - i * plan.step));
    });
    left += weight * unsold(market.rate, exposure);
  });
  return 1 - left;
}

/**
 * What it costs to list a week later with the last day unchanged: value lost and standing.
 * @param {Market} market
 * @param {Plan} plan
 */
export function weekCosts(market, plan) {
  const horizon = plan.step * plan.offsets.length;
  if (horizon <= WEEK) return plan.value - (market.salvage - market.hold * horizon);
  const later = climb(market, plan.offsets, (horizon - WEEK) / plan.offsets.length);
  return plan.value - later.value + market.hold * WEEK;
}
