/**
 * The workings from "likely brings" down to "most to pay", in whole minor units. Mirrors
 * `pricing/waterfall.py`.
 */
import { toMinor } from '../basis/rounding.js';
import { timeCost } from './offer.js';
import { counted, likely } from './resale.js';

/**
 * @typedef {'likely'|'more'|'unsold'|'fees'|'delivery'|'pickup'|'supplies'|'standing'|'time'
 *   |'min_profit'|'caution'|'note'|'short'|'most'} WaterfallKey
 * @typedef {{key: WaterfallKey, amount: number}} WaterfallRow rows before the last add up to
 *   the last, the most to pay
 */

/**
 * @param {import('./offer.js').Deal} deal
 * @param {number} supplies
 * @param {number} pickup
 * @returns {Array<[WaterfallKey, number]>}
 */
function parts(deal, supplies, pickup) {
  const t = deal.terms;
  const sold = 1 - deal.u;
  const average = counted(deal.resale);
  return [
    ['likely', likely(deal.resale)],
    ['more', average - likely(deal.resale)],
    ['fees', -sold * (t.fee * average + t.feeFixed)],
    ['delivery', -sold * t.delivery],
    ['pickup', -pickup],
    ['supplies', -supplies],
    ['standing', -t.hold * deal.days],
    ['time', -timeCost(deal)],
    ['min_profit', -t.minProfit],
  ];
}

/**
 * The smaller limit in whole minor units; negative when nothing can be paid.
 * @param {import('./offer.js').Offer} offer
 */
export function limit(offer) {
  const byProfit = toMinor(offer.profitLimit);
  if (!Number.isFinite(offer.lossLimit)) return byProfit;
  return Math.min(byProfit, toMinor(offer.lossLimit));
}

/**
 * The rows. Rows of 0 are left out, but for the ends. What rounding leaves goes into "unsold",
 * the allowance for a piece that does not sell; "caution" is what the loss limit takes off;
 * "note" rounds down to a whole note; "short" is what the rest falls short of nothing.
 * @param {import('./offer.js').Deal} deal
 * @param {import('./offer.js').Offer} offer
 * @param {{supplies: number, pickup: number}} costs
 * @param {number} most
 * @returns {WaterfallRow[]}
 */
export function waterfall(deal, offer, { supplies, pickup }, most) {
  /** @type {WaterfallRow[]} */
  const rows = parts(deal, supplies, pickup)
    .map(([key, amount]) => ({ key, amount: toMinor(amount) }));
  const byProfit = toMinor(offer.profitLimit);
  const least = limit(offer);
  let rest = byProfit;
  for (const row of rows) rest -= row.amount;
  rows.splice(2, 0, { key: 'unsold', amount: rest });
  rows.push({ key: 'caution', amount: least - byProfit });
  rows.push({ key: least > 0 ? 'note' : 'short', amount: most - least });
  const shown = rows.filter((row, i) => i === 0 || row.amount !== 0);
  return [...shown, { key: 'most', amount: most }];
}
