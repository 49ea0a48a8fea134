/**
 * The pad: from a find and the price book to the most to pay, with its workings. Mirrors
 * `pricing/pad.py`.
 */
import { floorTo, toMinor } from '../basis/rounding.js';
import * as effort from './effort.js';
import { GUESS_BELOW, benchEffort, pricedFind } from './figures.js';
import { Problems, readFind } from './find.js';
import { atAsk, base, maxOffer, timeCost } from './offer.js';
import * as resale from './resale.js';
import { spreadOf } from './scores.js';
import { limit, waterfall } from './waterfall.js';

/**
 * @typedef {object} AtAsk what paying the seller's ask comes to, minor units
 * @property {number} ask
 * @property {number} clear before one's own time
 * @property {number} profit after it
 * @property {number|null} hourly clear per hour of work; null without work
 * @property {number} lossChance to get back less cash than was put in
 * @property {string} lossWords the chance of a loss in words
 * @property {number} underWageChance to earn less than the wage
 * @property {number} over how far the ask is above the most to pay, 0 if it is not
 *
 * @typedef {object} PadAnswer money in minor units
 * @property {true} ok
 * @property {number} most the most to pay, down to a whole note
 * @property {number} mostExact the same to the cent
 * @property {'profit'|'loss'|'none'} binding which limit sets it
 * @property {null|'costs'|'time'|'min_profit'|'tolerance'|'caution'|'less_than_note'}
 *   nothingReason why most is 0
 * @property {{low: number, likely: number, high: number}} range 10%, 50% and 90% points
 * @property {{low: number, likely: number, high: number}} minutes the same of the work
 * @property {{low: number, likely: number, high: number}} bench those at the bench alone
 * @property {null|AtAsk} atAsk null without an ask
 * @property {import('./waterfall.js').WaterfallRow[]} waterfall
 * @property {{ownSalesOfKind: number, ownSales: number,
 *   level: 'guess'|'thin'|'fair'|'good', source: 'book'|'typed', spread: number}} evidence
 *   `spread`: what the ranges were widened by, because too few pieces had fallen in them
 * @property {{unsold: number, days: number}} chances chance not to sell in time, days standing
 * @property {string[]} caveats codes, the gravest first; see words.js
 *
 * @typedef {{ok: false, details: import('./find.js').Problem[]}} PadRefusal
 */

/**
 * Why nothing, or less than a note, can be paid.
 * @param {import('./offer.js').Deal} deal
 * @param {import('./offer.js').Offer} offer
 * @param {number} least
 * @returns {PadAnswer['nothingReason']}
 */
function nothingReason(deal, offer, least) {
  if (least > 0) return 'less_than_note';
  if (base(deal) <= 0) return 'costs';
  if (base(deal) - timeCost(deal) <= 0) return 'time';
  if (offer.profitLimit < 0.5) return 'min_profit';
  return deal.terms.tolerance <= deal.u ? 'tolerance' : 'caution';
}

/**
 * A chance in words: rough until there are enough own sales, then "about 1 in N".
 * @param {number} chance
 * @param {number} ownSales
 */
export function chanceWords(chance, ownSales) {
  if (ownSales < GUESS_BELOW) return chance < 0.1 ? 'low' : chance < 0.3 ? 'some' : 'high';
  if (chance > 0.5) return 'more than half';
  return chance < 0.05 ? 'less than 1 in 20' : `about 1 in ${toMinor(1 / chance)}`;
}

/**
 * How much own sales there are to go by.
 * @param {number} ofKind
 * @param {number} inAll
 * @returns {'guess'|'thin'|'fair'|'good'}
 */
export function level(ofKind, inAll) {
  if (inAll < GUESS_BELOW) return 'guess';
  if (ofKind < 3) return 'thin';
  return ofKind < 10 ? 'fair' : 'good';
}

/**
 * @param {import('./offer.js').AskResult} at
 * @param {number} ask
 * @param {number} most
 * @param {number} ownSales
 * @returns {AtAsk}
 */
function askData(at, ask, most, ownSales) {
  return {
    ask,
    clear: toMinor(at.clear),
    profit: toMinor(at.profit),
    hourly: at.hourly === null ? null : toMinor(at.hourly),
    lossChance: at.lossChance,
    lossWords: chanceWords(at.lossChance, ownSales),
    underWageChance: at.underWageChance,
    over: Math.max(0, ask - most),
  };
}

/**
 * Low, likely and high as shown: the figures typed stand as they were typed.
 * @param {import('./find.js').Find} find
 * @param {resale.Resale} brings
 */
function rangeOf(find, brings) {
  return {
    low: find.typed.low ?? toMinor(resale.low(brings)),
    likely: toMinor(resale.likely(brings)),
    high: find.typed.high ?? toMinor(resale.high(brings)),
  };
}

/**
 * @param {any} book
 * @param {import('./find.js').Find} find
 * @param {import('./figures.js').Priced} priced
 * @returns {PadAnswer}
 */
function answerOf(book, find, priced) {
  const { deal } = priced;
  const { counts } = book;
  const offer = maxOffer(deal);
  const least = limit(offer);
  const most = floorTo(Math.max(0, least), Math.max(1, book.money.note_step));
  const ofKind = find.kind !== null && Object.hasOwn(counts.kinds, find.kind)
    ? counts.kinds[find.kind] : 0;
  const { ask } = find;
  const bench = benchEffort(book, find);
  return {
    ok: true,
    most,
    mostExact: Math.max(0, least),
    binding: most > 0 ? offer.binding : 'none',
    nothingReason: most === 0 ? nothingReason(deal, offer, least) : null,
    range: rangeOf(find, deal.resale),
    minutes: {
      low: toMinor(effort.low(deal.effort)),
      likely: toMinor(effort.likely(deal.effort)),
      high: toMinor(effort.high(deal.effort)),
    },
    bench: {
      low: toMinor(effort.low(bench)),
      likely: toMinor(effort.likely(bench)),
      high: toMinor(effort.high(bench)),
    },
    atAsk: ask === null ? null : askData(atAsk(deal, ask), ask, most, counts.sales),
    waterfall: waterfall(deal, offer, priced, most),
    evidence: {
      ownSalesOfKind: ofKind,
      ownSales: counts.sales,
      level: level(ofKind, counts.sales),
      source: priced.caveats.includes('typed_price') ? 'typed' : 'book',
      spread: spreadOf(book),
    },
    chances: { unsold: deal.u, days: toMinor(deal.days) },
    caveats: priced.caveats,
  };
}

/**
 * The answer of the pad for a find. Input that makes no sense gives `{ok: false, details}`,
 * each detail naming the field; nothing a person can type throws.
 * @param {any} book the price book, null before it came from home
 * @param {import('./find.js').PadFind} find
 * @returns {PadAnswer|PadRefusal}
 */
export function priceFind(book, find) {
  const problems = new Problems();
  if (!book) {
    problems.add('book', 'required');
    return { ok: false, details: problems.details };
  }
  const read = readFind(find, problems);
  const priced = problems.details.length > 0 ? null : pricedFind(book, read, problems);
  if (priced === null) return { ok: false, details: problems.details };
  return answerOf(book, read, priced);
}
