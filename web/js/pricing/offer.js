/**
 * The most to pay for a piece, and what paying the seller's ask would come to. Mirrors
 * `pricing/offer.py`. All amounts are minor units as floats; the caller rounds once.
 */
import { minutesAt } from './effort.js';
import { NODES, inverse, phi } from './normal.js';
import { counted } from './resale.js';

/**
 * @typedef {object} Terms the person's own terms
 * @property {number} fee a share of the price
 * @property {number} feeFixed only on a sale
 * @property {number} delivery only on a sale
 * @property {number} hold standing cost per day
 * @property {number} wage per hour
 * @property {number} minProfit
 * @property {number} tolerance
 *
 * @typedef {object} Deal everything an offer depends on
 * @property {import('./resale.js').Resale} resale
 * @property {import('./effort.js').Effort} effort
 * @property {number} u the chance not to sell
 * @property {number} days expected days of standing
 * @property {number} cost spent in any case: supplies, pickup
 * @property {number} salvage what it goes for when it must go
 * @property {Terms} terms
 *
 * @typedef {object} Offer
 * @property {number} most 0 when nothing can be paid
 * @property {'profit'|'loss'|'none'} binding
 * @property {number} profitLimit
 * @property {number} lossLimit
 *
 * @typedef {object} AskResult what paying the ask comes to
 * @property {number} clear before one's own time
 * @property {number} profit after it
 * @property {number|null} hourly clear per hour of work
 * @property {number} lossChance
 * @property {number} underWageChance
 */

/** What a sale costs whatever it brings. @param {Terms} terms */
export function onSale(terms) {
  return terms.feeFixed + terms.delivery;
}

/**
 * What is expected to be left of a piece got for nothing, before one's own time.
 * @param {Deal} deal
 */
export function base(deal) {
  const t = deal.terms;
  const sold = (1 - t.fee) * counted(deal.resale) - onSale(t);
  const expected = (1 - deal.u) * sold + deal.u * deal.salvage;
  return expected - deal.cost - t.hold * deal.days;
}

/** One's own time on the piece at one's own wage. @param {Deal} deal */
export function timeCost(deal) {
  return (deal.terms.wage * deal.effort.mean) / 60;
}

/** The price at which the expected profit is just the least one wants. @param {Deal} deal */
export function profitLimit(deal) {
  return base(deal) - timeCost(deal) - deal.terms.minProfit;
}

/**
 * The chance that a sale brings less than `net` after the share taken as a fee.
 * @param {Deal} deal
 * @param {number} net
 */
function below(deal, net) {
  if (net <= 0) return 0;
  const kept = 1 - deal.terms.fee;
  if (kept <= 0) return 1;
  return phi((Math.log(net / kept) - deal.resale.mu) / deal.resale.s);
}

/**
 * The chance to get back less cash than `paid` and the other costs.
 * @param {Deal} deal
 * @param {number} paid
 */
export function lossChance(deal, paid) {
  const sold = (1 - deal.u) * below(deal, paid + deal.cost + onSale(deal.terms));
  return sold + (deal.salvage < paid + deal.cost ? deal.u : 0);
}

/**
 * The highest price whose chance of a loss is within the tolerance; exact, see lossChance.
 * @param {Deal} deal
 */
export function lossLimit(deal) {
  const t = deal.terms;
  const at = (/** @type {number} */ share) => {
    if (share >= 1 - 1e-12) return Infinity;
    const got = (1 - t.fee) * Math.exp(deal.resale.mu + deal.resale.s * inverse(share));
    return got - onSale(t) - deal.cost;
  };
  const soldOnly = at(t.tolerance / (1 - deal.u));
  const unsoldToo = t.tolerance > deal.u ? at((t.tolerance - deal.u) / (1 - deal.u)) : -Infinity;
  return Math.max(unsoldToo, Math.min(soldOnly, deal.salvage - deal.cost));
}

/**
 * The most to pay: the smaller of the two limits, never below 0.
 * @param {Deal} deal
 * @returns {Offer}
 */
export function maxOffer(deal) {
  const byProfit = profitLimit(deal);
  const byLoss = lossLimit(deal);
  const most = Math.min(byProfit, byLoss);
  const limits = { profitLimit: byProfit, lossLimit: byLoss };
  if (most <= 0) return { most: 0, binding: 'none', ...limits };
  return { most, binding: byProfit <= byLoss ? 'profit' : 'loss', ...limits };
}

/**
 * The chance that what a piece let go for leaves, `left`, does not pay the time spent.
 * @param {Deal} deal
 * @param {number} left
 */
function unsoldUnderWage(deal, left) {
  if (left <= 0) return 1;
  if (deal.terms.wage <= 0 || deal.effort.mean <= 0) return 0;
  const enough = (left * 60) / deal.terms.wage;
  return phi((deal.effort.mu - Math.log(enough)) / deal.effort.s);
}

/** @param {Deal} deal @param {number} paid */
function underWage(deal, paid) {
  const t = deal.terms;
  const spent = paid + deal.cost + t.hold * deal.days;
  let total = 0;
  for (const [z, weight] of NODES) {
    const wage = (t.wage * minutesAt(deal.effort, z)) / 60;
    total += weight * (1 - deal.u) * below(deal, spent + onSale(t) + wage);
  }
  return total + deal.u * unsoldUnderWage(deal, deal.salvage - spent);
}

/**
 * What paying `ask` comes to.
 * @param {Deal} deal
 * @param {number} ask
 * @returns {AskResult}
 */
export function atAsk(deal, ask) {
  const clear = base(deal) - ask;
  const minutes = deal.effort.mean;
  return {
    clear,
    profit: clear - timeCost(deal),
    hourly: minutes > 0 ? clear / (minutes / 60) : null,
    lossChance: lossChance(deal, ask),
    underWageChance: underWage(deal, ask),
  };
}
