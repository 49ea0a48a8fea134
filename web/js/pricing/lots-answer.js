/** The answer for several finds at one price, as plain data. Mirrors `pricing/lots_answer.py`. */
import { split } from '../basis/money.js';
import { floorTo, toMinor } from '../basis/rounding.js';
import * as effort from './effort.js';
import { looksOf, pricedFind } from './figures.js';
import { Problems, readFind } from './find.js';
import { cross, modelFrom, spread } from './linear.js';
import { ONE_BY_ONE, expectedLimit, lossChance, mostFor, without } from './lots.js';
import { base, timeCost } from './offer.js';
import { chanceWords, level } from './pad.js';
import * as resale from './resale.js';
import { CAVEATS } from './words.js';

const MONEY_LIMIT = 1e11;
const MOST_PIECES = 40;
/** The code of what is to be mentioned where a lot has more than ten pieces. */
const GROUPED = 'grouped';

/**
 * @typedef {import('./find.js').Find} Find
 * @typedef {import('./figures.js').Priced} Priced
 * @typedef {import('./lots.js').Lot} Lot
 *
 * @typedef {object} LotAtAsk what paying the ask comes to, minor units
 * @property {number} ask
 * @property {number} clear
 * @property {number} profit
 * @property {number|null} hourly
 * @property {number} lossChance
 * @property {string} lossWords
 * @property {number} over
 * @property {number[]} shares of each piece, to the cent
 *
 * @typedef {object} LotAnswer money in minor units
 * @property {true} ok
 * @property {number} most
 * @property {number} mostExact
 * @property {'profit'|'loss'|'none'} binding
 * @property {import('./pad.js').PadAnswer['nothingReason']} nothingReason
 * @property {number} minutes
 * @property {LotAtAsk|null} atAsk
 * @property {{likely: number, adds: number|null}[]} pieces adds: to the most to pay; null in a lot
 *   of more than ten
 * @property {number} ownSales
 * @property {'guess'|'thin'|'fair'|'good'} level
 * @property {string[]} caveats
 */

/** @param {number[]} list */
function sum(list) {
  return list.reduce((a, b) => a + b, 0);
}

/**
 * How far the logs of the prices go together: they share the errors of the book. A typed spread
 * keeps the book's correlation; pieces of one kind that the book does not know share what is not
 * known of it.
 * @param {any} book
 * @param {Find[]} finds
 * @param {Priced[]} priced
 * @returns {number[][]}
 */
export function sharedErrors(book, finds, priced) {
  const model = modelFrom(book.price);
  const unknown = book.price.v0.kind;
  const looks = finds.map(looksOf);
  const rows = looks.map((one) => resale.rowOf(model, one));
  const fresh = looks.map((one) => !model.index.has(`kind:${one.kind}`));
  const scale = model.c * model.c * model.s2;
  const own = rows.map((row, i) => (
    spread(model, row, resale.moreNoise(model, looks[i].kind, book.price.v0))
  ));
  const spreads = priced.map((p) => p.deal.resale.s);
  return rows.map((row, i) => rows.map((other, j) => {
    if (i === j) return spreads[i] * spreads[i];
    const oneKind = looks[i].kind !== null && looks[i].kind === looks[j].kind;
    const shared = scale * (cross(model, row, other) + (fresh[i] && oneKind ? unknown : 0));
    return shared * (spreads[i] / own[i]) * (spreads[j] / own[j]);
  }));
}

/**
 * Why nothing, or less than a note, can be paid; the codes are those of the pad.
 * @param {Lot} lot
 * @param {number} least
 * @returns {LotAnswer['nothingReason']}
 */
function nothingReason(lot, least) {
  const { deals } = lot;
  const left = sum(deals.map(base));
  if (least > 0) return 'less_than_note';
  if (left <= 0) return 'costs';
  if (left - sum(deals.map(timeCost)) <= 0) return 'time';
  if (expectedLimit(lot) < 0.5) return 'min_profit';
  const noneSold = deals.reduce((product, deal) => product * deal.u, 1);
  return deals[0].terms.tolerance <= noneSold ? 'tolerance' : 'caution';
}

/**
 * @param {Lot} lot
 * @param {number} ask
 * @param {number} most
 * @param {number} ownSales
 * @returns {LotAtAsk}
 */
function atAsk(lot, ask, most, ownSales) {
  const { deals } = lot;
  const clear = sum(deals.map(base)) - ask;
  const minutes = sum(deals.map((deal) => deal.effort.mean));
  const chance = lossChance(lot, ask);
  return {
    ask,
    clear: toMinor(clear),
    profit: toMinor(clear - sum(deals.map(timeCost))),
    hourly: minutes > 0 ? toMinor(clear / (minutes / 60)) : null,
    lossChance: chance,
    lossWords: chanceWords(chance, ownSales),
    over: Math.max(0, ask - most),
    shares: split(ask, deals.map((deal) => toMinor(resale.likely(deal.resale)))),
  };
}

/**
 * What a piece adds to the most to pay; not reckoned in a lot of more than ten.
 * @param {Lot} lot
 * @param {number} i
 * @param {number} most
 */
function adds(lot, i, most) {
  if (lot.deals.length > ONE_BY_ONE) return null;
  const rest = lot.deals.length > 1 ? mostFor(without(lot, i)).most : 0;
  return toMinor(most) - toMinor(rest);
}

/** @param {Priced[]} priced */
function caveatsOf(priced) {
  const said = new Set(priced.flatMap((one) => one.caveats));
  const grouped = priced.length > ONE_BY_ONE ? [GROUPED] : [];
  return [...grouped, ...Object.keys(CAVEATS).filter((code) => said.has(code))];
}

/**
 * The finds in figures; what is wrong is noted under `finds.INDEX`.
 * @param {any} book
 * @param {any} finds
 * @param {Problems} problems
 */
function readAll(book, finds, problems) {
  /** @type {Find[]} */
  const read = [];
  /** @type {Priced[]} */
  const priced = [];
  (Array.isArray(finds) ? finds : []).forEach((data, i) => {
    const own = new Problems();
    const find = readFind(data !== null && typeof data === 'object' ? data : {}, own);
    const figures = own.details.length > 0 ? null : pricedFind(book, find, own);
    if (figures !== null) {
      read.push(find);
      priced.push(figures);
    }
    for (const d of own.details) problems.details.push({ ...d, path: `finds.${i}.${d.path}` });
  });
  if (!Array.isArray(finds) || finds.length === 0) problems.add('finds', 'too_few', { min: 1 });
  else if (finds.length > MOST_PIECES) problems.add('finds', 'too_many', { max: MOST_PIECES });
  return { read, priced };
}

/** @param {any} book @param {Find[]} read */
function levelOf(book, read) {
  const { kinds, sales } = book.counts;
  const ofKind = read.map(({ kind }) => (
    kind !== null && Object.hasOwn(kinds, kind) ? kinds[kind] : 0));
  return level(Math.min(...ofKind), sales);
}

/**
 * The answer for several finds, each as `priceFind` takes it, at one price; `ask` is what is
 * wanted for all of them. Nothing a person can type throws.
 * @param {any} book
 * @param {any} finds
 * @param {number|null} [ask]
 * @returns {LotAnswer|import('./pad.js').PadRefusal}
 */
export function priceLot(book, finds, ask = null) {
  const problems = new Problems();
  if (!book) {
    problems.add('book', 'required');
    return { ok: false, details: problems.details };
  }
  const asked = problems.whole(ask, 'ask', [0, MONEY_LIMIT]);
  const { read, priced } = readAll(book, finds, problems);
  if (problems.details.length > 0) return { ok: false, details: problems.details };
  const lot = { deals: priced.map((p) => p.deal), shared: sharedErrors(book, read, priced) };
  const exact = mostFor(lot);
  const least = toMinor(exact.most);
  const ownSales = book.counts.sales;
  const most = floorTo(least, Math.max(1, book.money.note_step));
  return {
    ok: true,
    most,
    mostExact: least,
    binding: most > 0 ? exact.binding : 'none',
    nothingReason: most === 0 ? nothingReason(lot, least) : null,
    minutes: sum(lot.deals.map((deal) => toMinor(effort.likely(deal.effort)))),
    atAsk: asked === null ? null : atAsk(lot, asked, most, ownSales),
    pieces: lot.deals.map((deal, i) => (
      { likely: toMinor(resale.likely(deal.resale)), adds: adds(lot, i, exact.most) })),
    ownSales,
    level: levelOf(book, read),
    caveats: caveatsOf(priced),
  };
}
