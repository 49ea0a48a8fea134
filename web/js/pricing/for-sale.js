/**
 * A piece for sale as a person hands it in: checked, every problem named at once. Mirrors
 * `pricing/for_sale.py`.
 */
import { isDate } from '../basis/clock.js';
import { pricedFind } from './figures.js';
import { readFind } from './find.js';
import { onSale } from './offer.js';
import { rateOf } from './selling.js';

const MONEY_LIMIT = 1e11;
/** Days; no plan reaches further. */
const LONGEST = 4000;
const MOST_PRICES = 4;
const MOST_ASKED = 400;
const DAY = 86_400_000;

/**
 * @typedef {import('./find.js').Problems} Problems
 * @typedef {import('./asking.js').Market} Market
 * @typedef {{on: number, amount: number}} Price a list price from a day on
 *
 * @typedef {object} ForSale days are whole numbers since 1970, money is minor units
 * @property {import('./figures.js').Priced} priced
 * @property {Market} market
 * @property {number} haggle how far below the list price it goes, in logs
 * @property {number} note the step of list prices
 * @property {Price[]} asked the list prices it stood at so far
 * @property {number} start
 * @property {number} last
 *
 * @typedef {object} AskingInput what the screen hands in; `find` and `today` are needed
 * @property {import('./find.js').PadFind} find
 * @property {string} today
 * @property {string|null} [start] first day of the plan; today unless told
 * @property {string|null} [last_on] last day of the plan
 * @property {{amount: number, on: string}[]} [asked] list prices it stood at so far
 * @property {number[]} [prices] list prices the person would rather ask
 * @property {string|null} [by_on] a day to say the chance of
 */

/** The text of a day. @param {number} day */
export function dayText(day) {
  return new Date(day * DAY).toISOString().slice(0, 10);
}

/** @param {string} text of a calendar day */
export function dayNumber(text) {
  return Date.parse(`${text}T00:00:00Z`) / DAY;
}

/**
 * A calendar day of the input; null when left out, and null noted when it is none.
 * @param {any} data
 * @param {string} name
 * @param {Problems} problems
 */
export function dayIn(data, name, problems) {
  const text = data[name];
  if (text === null || text === undefined || text === '') return null;
  if (!isDate(text)) {
    problems.add(name, 'bad_date', { text: typeof text === 'string' ? text : '' });
    return null;
  }
  return dayNumber(text);
}

/**
 * List prices with their days, in the order of days.
 * @param {any} data
 * @param {string} name
 * @param {Problems} problems
 * @returns {Price[]}
 */
export function pricesIn(data, name, problems) {
  /** @type {any[]} */
  const rows = Array.isArray(data[name]) ? data[name] : [];
  if (rows.length > MOST_ASKED) {
    problems.add(name, 'too_many', { max: MOST_ASKED });
    return [];
  }
  /** @type {Price[]} */
  const found = [];
  rows.forEach((row, i) => {
    const part = row !== null && typeof row === 'object' && !Array.isArray(row) ? row : {};
    const amount = problems.whole(part.amount, `${name}.${i}.amount`, [1, MONEY_LIMIT]);
    const on = dayIn(part, 'on', problems);
    if (amount === null || on === null) problems.add(`${name}.${i}`, 'required');
    else found.push({ on, amount });
  });
  return found.sort((a, b) => a.on - b.on || a.amount - b.amount);
}

/**
 * The list prices a person would rather ask, each for an equal time; they may not rise.
 * @param {any} data
 * @param {Problems} problems
 * @returns {number[]}
 */
export function typedPrices(data, problems) {
  /** @type {any[]} */
  const rows = Array.isArray(data.prices) ? data.prices : [];
  if (rows.length > MOST_PRICES) {
    problems.add('prices', 'too_many', { max: MOST_PRICES });
    return [];
  }
  /** @type {number[]} */
  const found = [];
  rows.forEach((row, i) => {
    const price = problems.whole(row, `prices.${i}`, [1, MONEY_LIMIT]);
    if (price === null) problems.add(`prices.${i}`, 'required');
    else if (found.length > 0 && price > found[found.length - 1]) {
      problems.add(`prices.${i}`, 'conflict', { reason: 'a price may not rise again' });
    } else found.push(price);
  });
  return found;
}

/**
 * How far the agreed price of a list price lies from the likely price, in logs.
 * @param {{haggle: number, market: Market}} item
 * @param {number} listed
 */
export function offsetOf({ haggle, market }, listed) {
  return Math.log(listed) - haggle - market.resale.mu;
}

/**
 * First and last day of the plan; the last one null where none is told.
 * @param {any} data
 * @param {Problems} problems
 */
function spanOf(data, problems) {
  const today = dayIn(data, 'today', problems);
  const start = dayIn(data, 'start', problems);
  const last = dayIn(data, 'last_on', problems);
  if (today === null) {
    problems.add('today', 'required');
    return null;
  }
  if (start !== null && start < today) {
    problems.add('start', 'conflict', { reason: 'it cannot begin before today' });
  }
  const begin = start ?? today;
  if (last !== null && last <= begin) {
    problems.add('last_on', 'conflict', { reason: 'it has to be a day after the plan begins' });
  } else if (last !== null && last - begin > LONGEST) {
    problems.add('last_on', 'conflict', { reason: 'that is too far ahead' });
  }
  return { begin, last };
}

/**
 * What the piece brings with the average to count on: doubt is no chance of more.
 * @param {import('./resale.js').Resale} brings
 */
function counted({ mu, s, doubt = 0 }) {
  return { mu: mu - doubt / 2, s };
}

/** @param {any} book @param {any} find @param {import('./figures.js').Priced} priced */
function marketOf(book, find, { deal }) {
  const { sell } = book;
  return {
    resale: counted(deal.resale),
    rate: rateOf(sell, find.kind, find.kindDays),
    omega: sell.omega,
    fee: deal.terms.fee,
    onSale: onSale(deal.terms),
    hold: deal.terms.hold,
    salvage: deal.salvage,
  };
}

/**
 * The piece in `data`; null, with the problems noted, where something is wrong or missing.
 * @param {any} book
 * @param {any} data
 * @param {Problems} problems
 * @returns {ForSale|null}
 */
export function readForSale(book, data, problems) {
  if (book === null || book === undefined) {
    problems.add('book', 'required');
    return null;
  }
  const given = data.find;
  const whole = given !== null && typeof given === 'object' && !Array.isArray(given);
  const find = readFind(whole ? given : {}, problems);
  const span = spanOf(data, problems);
  const asked = pricesIn(data, 'asked', problems);
  if (span !== null && asked.length > 0 && asked[asked.length - 1].on > span.begin) {
    problems.add('asked', 'conflict', { reason: 'a price of a later day is not asked yet' });
  }
  const priced = problems.details.length > 0 ? null : pricedFind(book, find, problems);
  if (priced === null || span === null) return null;
  const market = { ...marketOf(book, find, priced), past: [] };
  const { haggle } = book.sell;
  return {
    priced,
    market: { ...market, past: pastOf(asked, span.begin, { haggle, market }) },
    haggle,
    note: Math.max(1, book.money.note_step),
    asked,
    start: span.begin,
    last: span.last ?? endsOn(market.rate.horizon, asked[0]?.on ?? span.begin, span.begin),
  };
}

/**
 * The offsets at which it stood until the plan begins, with their days.
 * @param {Price[]} asked
 * @param {number} start
 * @param {{haggle: number, market: Market}} item
 * @returns {Array<[number, number]>}
 */
function pastOf(asked, start, item) {
  /** @type {Array<[number, number]>} */
  const past = [];
  asked.forEach(({ on, amount }, i) => {
    const end = asked[i + 1]?.on ?? start;
    if (end > on) past.push([offsetOf(item, amount), end - on]);
  });
  return past;
}

/**
 * The last day where none is told: the usual longest wait, and a quarter of it at least.
 * @param {number} horizon
 * @param {number} begun
 * @param {number} start
 */
function endsOn(horizon, begun, start) {
  const days = Math.floor(horizon + 0.5);
  return Math.max(begun + days, start + Math.floor((days + 3) / 4));
}
