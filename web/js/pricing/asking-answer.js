/**
 * What to ask for a piece: one price, a dated plan of drops, and what a price of one's own does.
 * Mirrors `pricing/asking_answer.py`.
 */
import { floorTo, toMinor } from '../basis/rounding.js';
import { chancesBy, evaluate } from './asking.js';
import { Board, bestConstant, bestPlan, finer, weekCosts } from './dropping.js';
import { GUESS_BELOW } from './figures.js';
import { Problems } from './find.js';
import { dayIn, dayText, offsetOf, readForSale, typedPrices } from './for-sale.js';
import { likely } from './resale.js';

const STEPS = 4;
const POINTS = 12;
/** From this far off the book's own chance on, a person's record is mentioned. */
const OWN_PACE = 0.1;
const MENTIONED = ['typed_price', 'unknown_kind', 'slow_kind', 'wide_range', 'unknown_trait'];

/**
 * @typedef {import('./for-sale.js').ForSale} ForSale
 *
 * @typedef {object} Laid list prices, each from a day on, with the plan that they are
 * @property {number[]} lists minor units
 * @property {number[]} days since 1970
 * @property {number} ends
 * @property {import('./asking.js').Plan} plan
 *
 * @typedef {object} PlanData money in minor units, days as texts
 * @property {{list: number, on: string, until: string, chance: number}[]} steps each with the
 *   chance to be sold by its end
 * @property {string} endsOn
 * @property {number} chance to be sold by then
 * @property {number} days expected days of standing
 * @property {number} value
 *
 * @typedef {{ownListings: number, ownSales: number, level: 'guess'|'fair',
 *   source: 'typed'|'book'}} AskingEvidence
 *
 * @typedef {object} AskingAnswer money in minor units
 * @property {true} ok
 * @property {PlanData} plan the drop plan
 * @property {PlanData} constant the best single price
 * @property {PlanData|null} typed what the person would rather ask
 * @property {null|{on: string, plan: number, typed: number|null}} by chances by a day
 * @property {{on: string, plan: number, typed: number|null}[]} curve
 * @property {number} givesUp what the plan gives up against one of more steps
 * @property {number} week what listing it a week later costs
 * @property {number} letGo what it goes for when it must go
 * @property {number} likely
 * @property {number} haggle
 * @property {AskingEvidence} evidence
 * @property {string[]} caveats codes; see asking-words.js
 */

/**
 * The first days of so many equal steps, in whole days, and the last day of all.
 * @param {ForSale} item
 * @param {number} steps
 */
function cut({ start, last }, steps) {
  const whole = last - start;
  return Array.from({ length: steps + 1 }, (_, k) => start + Math.floor((k * whole) / steps + 0.5));
}

/**
 * The list price of an offset, to the nearest note and at least one.
 * @param {ForSale} item
 * @param {number} offset
 */
function listed({ market, haggle, note }, offset) {
  const price = Math.exp(market.resale.mu + offset + haggle);
  return Math.max(note, floorTo(toMinor(price + note / 2), note));
}

/** The differences of neighbours. @param {number[]} bounds */
function between(bounds) {
  return bounds.slice(1).map((bound, i) => bound - bounds[i]);
}

/**
 * What these list prices come to; a step without days or without a drop is no step.
 * @param {ForSale} item
 * @param {number[]} lists
 * @param {number[]} days
 * @param {number} ends
 * @returns {Laid}
 */
export function laid(item, lists, days, ends) {
  /** @type {number[]} */
  const prices = [];
  /** @type {number[]} */
  const from = [];
  lists.forEach((price, i) => {
    const until = days[i + 1] ?? ends;
    if (until <= days[i] || price === prices.at(-1)) return;
    prices.push(price);
    from.push(days[i]);
  });
  const offsets = prices.map((price) => offsetOf(item, price));
  const plan = evaluate(item.market, offsets, between([...from, ends]));
  return { lists: prices, days: from, ends, plan };
}

/**
 * The best plan of four steps in notes, and the same before it was rounded.
 * @param {ForSale} item
 * @param {Board} board
 */
export function planned(item, board) {
  const bounds = cut(item, Math.min(STEPS, item.last - item.start));
  const exact = bestPlan(board, between(bounds));
  const lists = exact.offsets.map((offset) => listed(item, offset));
  return { plan: laid(item, lists, bounds.slice(0, -1), item.last), exact };
}

/**
 * A plan as plain data: chances are those to be sold by the end of each step.
 * @param {Laid} found
 * @returns {PlanData}
 */
export function planData({ lists, days, ends, plan }) {
  let chance = 0;
  const steps = lists.map((list, i) => {
    chance += plan.sold[i];
    return { list, on: dayText(days[i]), until: dayText(days[i + 1] ?? ends), chance };
  });
  return {
    steps, endsOn: dayText(ends), chance: 1 - plan.unsold, days: toMinor(plan.days),
    value: toMinor(plan.value),
  };
}

/**
 * What the chances go by; a guess until there are enough own listings.
 * @param {any} book
 * @param {ForSale} item
 * @returns {AskingEvidence}
 */
export function evidenceData(book, { priced }) {
  const { listings, sales } = book.counts;
  return {
    ownListings: listings,
    ownSales: sales,
    level: listings < GUESS_BELOW ? 'guess' : 'fair',
    source: priced.caveats.includes('typed_price') ? 'typed' : 'book',
  };
}

/**
 * Codes of what the person should know about this answer.
 * @param {any} book
 * @param {ForSale} item
 * @param {number} value
 */
export function caveatsOf(book, { market, priced }, value) {
  const scale = book.sell.unsold_scale;
  /** @type {Array<[string, boolean]>} */
  const said = [
    ['let_go', value <= market.salvage],
    ['stood', market.past.length > 0],
    ['slower_than_said', scale > 1 + OWN_PACE],
    ['quicker_than_said', scale < 1 - OWN_PACE],
  ];
  return [
    ...said.filter(([, holds]) => holds).map(([code]) => code),
    ...MENTIONED.filter((code) => priced.caveats.includes(code)),
  ];
}

/**
 * The chances of the plan and of the typed prices to be sold by each day.
 * @param {ForSale} item
 * @param {{plan: Laid, typed: Laid|null}} plans
 * @param {number[]} days
 */
function curveOf({ market, start }, { plan, typed }, days) {
  const since = days.map((on) => on - start);
  const byPlan = chancesBy(market, plan.plan, since);
  const byTyped = typed && chancesBy(market, typed.plan, since);
  return days.map((on, i) => ({
    on: dayText(on), plan: byPlan[i], typed: byTyped === null ? null : byTyped[i],
  }));
}

/** @param {ForSale} item @param {number[]} prices */
function typedPlan(item, prices) {
  if (prices.length === 0) return null;
  return laid(item, prices, cut(item, prices.length).slice(0, -1), item.last);
}

/**
 * @param {any} book
 * @param {ForSale} item
 * @param {number|null} by
 * @param {number[]} prices
 * @returns {AskingAnswer}
 */
function answerOf(book, item, by, prices) {
  const board = new Board(item.market);
  const { plan, exact } = planned(item, board);
  const whole = item.last - item.start;
  const price = listed(item, bestConstant(board, whole).offsets[0]);
  const constant = laid(item, [price], [item.start], item.last);
  const typed = typedPlan(item, prices);
  const plans = { plan, typed };
  return {
    ok: true,
    plan: planData(plan),
    constant: planData(constant),
    typed: typed === null ? null : planData(typed),
    by: by === null ? null : curveOf(item, plans, [by])[0],
    curve: curveOf(item, plans, cut(item, Math.min(POINTS, whole))),
    givesUp: Math.max(0, toMinor(finer(board, exact).value - plan.plan.value)),
    week: toMinor(weekCosts(board, exact)),
    letGo: toMinor(item.market.salvage),
    likely: toMinor(likely(item.priced.deal.resale)),
    haggle: item.haggle,
    evidence: evidenceData(book, item),
    caveats: caveatsOf(book, item, plan.plan.value),
  };
}

/**
 * What to ask for a piece; the names of `data` are in for-sale.js.
 * @param {any} book
 * @param {import('./for-sale.js').AskingInput} data
 * @returns {AskingAnswer | {ok: false, details: import('./find.js').Problem[]}}
 */
export function answerAsking(book, data) {
  const problems = new Problems();
  const by = dayIn(data, 'by_on', problems);
  const prices = typedPrices(data, problems);
  const item = readForSale(book, data, problems);
  if (item !== null && by !== null && by <= item.start) {
    problems.add('by_on', 'conflict', { reason: 'it has to be a day after the plan begins' });
  }
  if (item !== null && prices.length > item.last - item.start) {
    problems.add('prices', 'conflict', { reason: 'there are more prices than days' });
  }
  if (item === null || problems.details.length > 0) {
    return { ok: false, details: problems.details };
  }
  return answerOf(book, item, by, prices);
}
