/**
 * What asking prices for a piece come to: chance, days and money of a falling price. Mirrors
 * `pricing/asking.py`. Prices are agreed prices in minor units.
 */
import { NODES, phi } from './normal.js';
import { dwell, unsold } from './selling.js';

/** Expected buyers beyond which no number is left to divide by. */
const MOST_STOOD = 600;

/**
 * @typedef {object} Market what a plan depends on
 * @property {import('./resale.js').Resale} resale
 * @property {import('./selling.js').Rate} rate
 * @property {number} omega spread from buyer to buyer
 * @property {number} fee a share of the price
 * @property {number} onSale what a sale costs whatever it brings
 * @property {number} hold standing cost per day
 * @property {number} salvage what it goes for when it must go
 * @property {Array<[number, number]>} past log offsets at which it stood already, and their days
 *
 * @typedef {object} Plan
 * @property {number[]} offsets log distance of each price from the likely one
 * @property {number[]} steps days of each
 * @property {number[]} sold chance to sell in each
 * @property {number} unsold chance to stand at the end
 * @property {number} days expected days of standing
 * @property {number} value minor units
 */

/**
 * Chance to sell in each step, expected days and chance left, for known shares of takers; all
 * weighed by the chance to have stood through the exposure so far, `begun`.
 * @param {import('./selling.js').Rate} rate
 * @param {number[]} shares
 * @param {number[]} steps
 * @param {number} [begun]
 */
export function stand(rate, shares, steps, begun = 0) {
  const sold = [];
  let days = 0;
  let exposure = begun;
  let left = unsold(rate, begun);
  for (let i = 0; i < shares.length; i += 1) {
    days += dwell(rate, exposure, shares[i], steps[i]);
    exposure += shares[i] * steps[i];
    const after = unsold(rate, exposure);
    sold.push(left - after);
    left = after;
  }
  return { sold, days, left };
}

/**
 * The share of buyers who take the piece at an offset, for every node of its worth.
 * @param {Market} market
 * @param {number} offset
 */
export function sharesAt({ resale, omega }, offset) {
  return NODES.map(([z]) => phi((resale.s * z - offset) / omega));
}

/**
 * The exposure up to now, for every node of the piece's worth; cut off where nothing that stood
 * so long would be left at all.
 * @param {Market} market
 */
export function begun(market) {
  const most = market.rate.b * Math.expm1(MOST_STOOD / market.rate.a);
  const exposure = NODES.map(() => 0);
  for (const [offset, days] of market.past) {
    sharesAt(market, offset).forEach((share, j) => {
      exposure[j] = Math.min(most, exposure[j] + share * days);
    });
  }
  return exposure;
}

/**
 * The nodes' weights per chance to have stood until now: times `unsold` they sum to 1.
 * @param {Market} market
 * @param {number[]} exposure
 */
export function weights(market, exposure) {
  let still = 0;
  NODES.forEach(([, w], j) => { still += w * unsold(market.rate, exposure[j]); });
  return NODES.map(([, w]) => w / still);
}

/**
 * What is left of a price when the sale is paid for.
 * @param {Pick<Market, 'fee'|'onSale'>} market
 * @param {number} price
 */
export function net(market, price) {
  return (1 - market.fee) * price - market.onSale;
}

/**
 * What asking these prices, each for its days, comes to from now on.
 * @param {Market} market
 * @param {number[]} offsets
 * @param {number[]} steps
 * @returns {Plan}
 */
export function evaluate(market, offsets, steps) {
  const table = offsets.map((offset) => sharesAt(market, offset));
  const start = begun(market);
  const sold = offsets.map(() => 0);
  let days = 0;
  let left = 0;
  weights(market, start).forEach((weight, j) => {
    const at = stand(market.rate, table.map((row) => row[j]), steps, start[j]);
    at.sold.forEach((chance, i) => { sold[i] += weight * chance; });
    days += weight * at.days;
    left += weight * at.left;
  });
  let value = market.salvage * left - market.hold * days;
  offsets.forEach((offset, i) => {
    value += net(market, Math.exp(market.resale.mu + offset)) * sold[i];
  });
  return { offsets: [...offsets], steps: [...steps], sold, unsold: left, days, value };
}

/**
 * The chances that the piece is sold by days of the plan (days from now).
 * @param {Market} market
 * @param {Plan} plan
 * @param {number[]} days
 */
export function chancesBy(market, plan, days) {
  const table = plan.offsets.map((offset) => sharesAt(market, offset));
  const start = begun(market);
  const found = weights(market, start);
  return days.map((day) => {
    let left = 0;
    found.forEach((weight, j) => {
      let exposure = start[j];
      let since = 0;
      table.forEach((row, i) => {
        exposure += row[j] * Math.min(plan.steps[i], Math.max(0, day - since));
        since += plan.steps[i];
      });
      left += weight * unsold(market.rate, exposure);
    });
    return 1 - left;
  });
}
