/**
 * What to say to an offer for a piece: take it, name an amount, or wait. Mirrors
 * `pricing/offer_answer.py`.
 */
import { floorTo, toMinor } from '../basis/rounding.js';
import { caveatsOf, evidenceData, laid, planData, planned } from './asking-answer.js';
import { Board } from './dropping.js';
import { Problems } from './find.js';
import { pricesIn, readForSale } from './for-sale.js';
import { answerOffer } from './offers.js';

/**
 * @typedef {import('./for-sale.js').ForSale} ForSale
 * @typedef {import('./for-sale.js').Price} Price
 *
 * @typedef {object} OfferAnswer money in minor units
 * @property {true} ok
 * @property {'take'|'counter'|'wait'} best
 * @property {number} take what taking it is worth
 * @property {null|{amount: number, value: number, yes: number}} counter
 * @property {number} wait what waiting is worth
 * @property {number|null} leastToTake in notes
 * @property {number} noShow the chance that who agreed does not come
 * @property {number} offer
 * @property {number} price what it is listed at
 * @property {number} others who are thinking
 * @property {import('./asking-answer.js').PlanData} plan the drops that waiting goes by
 * @property {number} letGo
 * @property {import('./asking-answer.js').AskingEvidence} evidence
 * @property {string[]} caveats
 */

/**
 * The price of today and the drops the household planned, to a last day well after them.
 * @param {ForSale} item
 * @param {Price[]} drops
 */
function ownPlan(item, drops) {
  const quarter = Math.ceil(item.market.rate.horizon / 4);
  const last = Math.max(item.last, drops[drops.length - 1].on + quarter);
  const lists = [item.asked[item.asked.length - 1].amount, ...drops.map(({ amount }) => amount)];
  return laid(item, lists, [item.start, ...drops.map(({ on }) => on)], last);
}

/**
 * The answer of the formulas in whole minor units; the least to take in notes.
 * @param {any} said
 * @param {number} note
 */
function inMoney(said, note) {
  const { counter, leastToTake: least } = said;
  return {
    ...said,
    take: toMinor(said.take),
    wait: toMinor(said.wait),
    counter: counter === null ? null : { ...counter, value: toMinor(counter.value) },
    leastToTake: least === null ? null : 0 - floorTo(-toMinor(Math.max(0, least)), note),
  };
}

/**
 * What to say to an offer. `data` is as for `answerAsking`, with the drops `planned`, the amount
 * `offer`, how many `others` are thinking, the household's `holds` so far and how many `failed`,
 * and the `hold_days` that a hold takes.
 * @param {any} book
 * @param {any} data
 * @returns {OfferAnswer | {ok: false, details: import('./find.js').Problem[]}}
 */
export function answerPieceOffer(book, data) {
  const problems = new Problems();
  const drops = pricesIn(data, 'planned', problems);
  const item = readForSale(book, data, problems);
  if (item !== null && drops.length > 0 && drops[0].on <= item.start) {
    problems.add('planned', 'conflict', { reason: 'a planned drop has to lie after today' });
  }
  if (item === null || problems.details.length > 0) {
    return { ok: false, details: problems.details };
  }
  const owned = item.asked.length > 0 && drops.length > 0;
  const plan = owned ? ownPlan(item, drops) : planned(item, new Board(item.market)).plan;
  const price = item.asked.at(-1)?.amount ?? plan.lists[0];
  const said = answerOffer(item.market, plan.plan.value, { ...data, price, note: item.note });
  if (!said.ok) return /** @type {any} */ (said);
  return {
    ...inMoney(said, item.note),
    offer: data.offer,
    price,
    others: data.others || 0,
    plan: planData(plan),
    letGo: toMinor(item.market.salvage),
    evidence: evidenceData(book, item),
    caveats: caveatsOf(book, item, plan.plan.value),
  };
}
