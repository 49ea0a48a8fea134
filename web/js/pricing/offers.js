/**
 * A buyer offers less than the price: take it, counter, or wait, each valued in the same money.
 * Mirrors `pricing/offers.py`, which states the assumptions.
 */
import { floorTo, toMinor } from '../basis/rounding.js';
import { begun, net, sharesAt, weights } from './asking.js';
import { Problems } from './find.js';
import { NODES } from './normal.js';
import { unsold } from './selling.js';

const MONEY_LIMIT = 1e11;
const WALKS = 0.5;
/** The chance that an inquirer who is still thinking pays the price: a guess, no source. */
const PAYS = 0.15;
/** How far below what they would pay buyers open on average, in logs: a guess, no source. */
const OPENS_BELOW = 0.25;
/** A counter that fewer would agree to is not worth saying. */
const LEAST_YES = 0.05;
const PRIOR_HOLDS = 10;
const PRIOR_FAILED = 2;
const COUNTERS = Array.from({ length: 40 }, (_, i) => ((i + 1) * 2) / 100);
const MOST_INQUIRERS = 50;

/**
 * @typedef {import('./asking.js').Market} Market
 * @typedef {{offer: number, price: number, others: number, noShow: number, holdDays: number,
 *   note: number}} Inquiry `note` is the step in which amounts are named
 */

/**
 * The chance that an agreed buyer does not come: one in five until own holds say other.
 * @param {number} holds
 * @param {number} failed
 */
export function noShowChance(holds, failed) {
  return (PRIOR_FAILED + failed) / (PRIOR_HOLDS + holds);
}

/**
 * What not agreeing is worth, `planValue` being that of the drop plan from now on.
 * @param {Market} market
 * @param {number} planValue
 * @param {Inquiry} inquiry
 */
export function waiting(market, planValue, inquiry) {
  const nonePays = (1 - PAYS) ** inquiry.others;
  return nonePays * planValue
    + (1 - nonePays) * Math.max(planValue, net(market, inquiry.price));
}

/**
 * What agreeing on a price is worth, the buyer failing to come now and then.
 * @param {Market} market
 * @param {number} price
 * @param {number} wait
 * @param {Inquiry} inquiry
 */
export function agreed(market, price, wait, inquiry) {
  const failed = wait - market.hold * inquiry.holdDays;
  return (1 - inquiry.noShow) * net(market, price) + inquiry.noShow * failed;
}

/**
 * The offer at which taking and waiting are worth the same; infinite if nothing is kept.
 * @param {Market} market
 * @param {number} wait
 * @param {Inquiry} inquiry
 */
export function leastToTake(market, wait, inquiry) {
  if (market.fee >= 1 || inquiry.noShow >= 1) return Infinity;
  const lost = (inquiry.noShow / (1 - inquiry.noShow)) * market.hold * inquiry.holdDays;
  return (wait + lost + market.onSale) / (1 - market.fee);
}

/**
 * Buyers who would pay a price, each by the chance to open as low as this one did: normal
 * densities times an exponential, integrated (up to a factor common to all prices).
 * @param {Market} market
 * @param {number[]} believed
 * @param {number} price
 */
function payers(market, believed, price) {
  const { resale: { mu, s }, omega } = market;
  const shares = sharesAt(market, Math.log(price) - mu + (omega * omega) / OPENS_BELOW);
  let total = 0;
  NODES.forEach(([z], j) => {
    total += believed[j] * Math.exp((-s * z) / OPENS_BELOW) * shares[j];
  });
  return total;
}

/** How likely each worth is after the days it has stood. @param {Market} market */
function belief(market) {
  const start = begun(market);
  return weights(market, start).map((w, j) => w * unsold(market.rate, start[j]));
}

/**
 * The chances that a buyer who offers `offer` would pay each counter.
 * @param {Market} market
 * @param {number} offer
 * @param {number[]} tried
 */
export function accepts(market, offer, tried) {
  const believed = belief(market);
  const willing = payers(market, believed, offer);
  if (willing <= 1e-300) return tried.map(() => 0);
  return tried.map((amount) => payers(market, believed, amount) / willing);
}

/** The amounts to try, above the offer up to the price, in notes. @param {Inquiry} inquiry */
export function counters({ offer, price, note }) {
  /** @type {number[]} */
  const found = [];
  const above = (/** @type {number} */ amount) => amount > (found.at(-1) ?? offer);
  for (const step of COUNTERS) {
    const whole = floorTo(toMinor(offer * Math.exp(step) + note / 2), note);
    if (above(whole) && whole <= price) found.push(whole);
  }
  if (above(price)) found.push(price);
  return found;
}

/**
 * The counter worth most; null where none is to be made.
 * @param {Market} market
 * @param {number} wait
 * @param {Inquiry} inquiry
 */
export function bestCounter(market, wait, inquiry) {
  /** @type {{amount: number, value: number, yes: number}|null} */
  let best = null;
  const stands = Math.max(wait, agreed(market, inquiry.offer, wait, inquiry));
  const refused = WALKS * wait + (1 - WALKS) * stands;
  const tried = counters(inquiry);
  const chances = accepts(market, inquiry.offer, tried);
  for (let i = 0; i < tried.length; i += 1) {
    const [amount, yes] = [tried[i], chances[i]];
    const value = yes * agreed(market, amount, wait, inquiry) + (1 - yes) * refused;
    if (yes < LEAST_YES) continue;
    if (best === null || value > best.value + 1e-9) best = { amount, value, yes };
  }
  return best;
}

/** @param {any} data @param {Problems} problems @returns {Inquiry} */
function readInquiry(data, problems) {
  const whole = (/** @type {string} */ name, /** @type {number} */ low,
    /** @type {number} */ high) => problems.whole(data[name], name, [low, high]) ?? low;
  for (const name of ['offer', 'price']) {
    if (data[name] === null || data[name] === undefined || data[name] === '') {
      problems.add(name, 'required');
    }
  }
  const holds = whole('holds', 0, 100_000);
  const failed = whole('failed', 0, holds);
  return {
    offer: whole('offer', 1, MONEY_LIMIT),
    price: whole('price', 1, MONEY_LIMIT),
    others: whole('others', 0, MOST_INQUIRERS),
    noShow: noShowChance(holds, failed),
    holdDays: whole('hold_days', 0, 90),
    note: whole('note', 1, MONEY_LIMIT),
  };
}

/**
 * Take, counter or wait, in minor units, unrounded. `data` is `{offer, price, others, holds,
 * failed, hold_days, note}`.
 * @param {Market} market
 * @param {number} planValue
 * @param {any} data
 */
export function answerOffer(market, planValue, data) {
  const problems = new Problems();
  const inquiry = readInquiry(data, problems);
  if (problems.details.length > 0) return { ok: false, details: problems.details };
  const wait = waiting(market, planValue, inquiry);
  const take = agreed(market, inquiry.offer, wait, inquiry);
  const counter = bestCounter(market, wait, inquiry);
  let best = take >= wait ? 'take' : 'wait';
  if (counter !== null && counter.value > Math.max(take, wait) + 1e-9) best = 'counter';
  const least = leastToTake(market, wait, inquiry);
  return {
    ok: true, best, take, counter, wait,
    leastToTake: Number.isFinite(least) ? least : null, noShow: inquiry.noShow,
  };
}
