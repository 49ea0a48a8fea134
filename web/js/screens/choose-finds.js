/** Today's finds to choose from, what each is worth at its price, and why one is left out. */

import { priceFind } from "../pricing/pad.js";
import { NOTHING } from "../pricing/words.js";
import { litresOf } from "../state/outing.js";
import { readNumber } from "../ui/amount.js";
import { minutesWords, moneyWords } from "../ui/words.js";
import { isEmpty } from "./at-the-sale-find.js";
import { furtherFinds, lookAgain } from "./at-the-sale-together.js";
import { viewOf } from "./at-the-sale-view.js";

/** @typedef {import("./at-the-sale-find.js").Find} Find */
/** @typedef {import("./at-the-sale-find.js").Live} Live */
/** @typedef {{find: Find, view: import("./at-the-sale-view.js").View}} Look */
/** @typedef {Record<string, number>} Limits minor units, minutes and litres; none does not bind */

/** @typedef {{value: number, cash: number, minutes: number, litres: number}} Worth `value` is the
 * profit: what it clears, less one's own time */

/** The key of the find on the pad, which may have no record yet. */
export const NOW = "now";

/**
 * A find in the running.
 * @typedef {object} Candidate
 * @property {string} key its id; `NOW` for the one on the pad
 * @property {Look} look
 * @property {boolean} passed
 * @property {number} litres
 * @property {number | null} usual minor units: what they ask, else the most to pay; null: unknown
 */

/**
 * The find on the pad and the others of today that are not bought.
 * @param {any} household
 * @param {Find} draft what stands on the pad
 * @returns {Candidate[]}
 */
export function candidates(household, draft) {
  const now = isEmpty(draft) ? [] : [candidate(household, draft, NOW)];
  const others = furtherFinds(household, draft.id).map((piece) => ({
    ...candidate(household, lookAgain(household, piece).find, piece.id),
    passed: Boolean(piece.passed_at),
  }));
  return [...now, ...others];
}

/** @param {any} household @param {Find} find @param {string} key @returns {Candidate} */
function candidate(household, find, key) {
  const view = viewOf(household, find);
  const { answer } = view;
  const piece = find.id ? household.get("piece", find.id) : null;
  return {
    key, look: { find, view }, passed: false,
    litres: litresOf(household, { ...piece, kind: find.kind, count: find.count }),
    usual: find.ask ?? (answer.ok ? answer.most : null),
  };
}

/** Whether what is said of any of them goes by too few own sales. @param {{one: Candidate}[]} some */
export function isGuess(some) {
  return some.some(({ one: { look: { view: { answer } } } }) =>
    answer.ok && answer.evidence.level === "guess");
}

/**
 * What is left of the outing's cash, hours and room, where they are known.
 * @param {import("../state/outing.js").Running | null} running
 * @param {any} setting of the household
 * @returns {{cash: number | null, minutes: number | null, litres: number | null}}
 */
export function leftOver(running, setting) {
  const less = (/** @type {number | null} */ limit, /** @type {number} */ taken) =>
    (limit === null ? null : Math.max(0, limit - taken));
  return {
    cash: less(running?.cashLeft ?? null, 0),
    minutes: less(running?.minutesLimit ?? null, running?.minutesTaken ?? 0),
    litres: less(setting.load_litres ?? null, running?.litresTaken ?? 0),
  };
}

/**
 * What a find comes to at a price, or why it is out whatever else is bought.
 * @param {any} book
 * @param {Candidate} one
 * @param {number | null} price minor units
 * @returns {{worth?: Worth, clear: number, out?: string}}
 */
export function atPrice(book, { look: { view }, litres }, price) {
  if (view.stops.length) return { clear: 0, out: `Walk away: ${view.stops[0].title}.` };
  if (!view.answer.ok) return { clear: 0, out: "What it brings is not known: open it and say so." };
  if (price === null) return { clear: 0, out: "Put in its price below." };
  const answer = priceFind(book, { ...view.input, ask: price });
  if (!answer.ok || !answer.atAsk) return { clear: 0, out: "Put in its price below." };
  const { most, atAsk, minutes, nothingReason } = answer;
  if (price > most) {
    const over = `${moneyWords(price - most)} over the most to pay for it`;
    return { clear: 0, out: most > 0 ? `${over}, ${moneyWords(most)}.`
      : NOTHING[nothingReason ?? "costs"] };
  }
  const worth = { value: atAsk.profit, cash: price, minutes: minutes.likely, litres };
  return { worth, clear: atAsk.clear };
}

/**
 * What was typed over for cash, hours and room, less what was bought of it.
 * @param {Record<string, any>} limits
 * @param {Limits} used
 */
export function lessBought(limits, used) {
  const left = { ...limits };
  if (typeof left.cash === "number") left.cash = Math.max(0, left.cash - used.cash);
  const less = (/** @type {string} */ name, /** @type {number} */ taken) => {
    const had = readNumber(left[name]);
    if (had) left[name] = String(Math.max(0, Math.round((had - taken) * 10) / 10));
  };
  less("hours", used.minutes / 60);
  less("litres", used.litres);
  return left;
}

/**
 * A typed limit in whole minutes or litres; none where nothing can be read.
 * @param {string} name
 * @param {unknown} text
 * @param {number} times how many of what is kept make one of what is typed
 * @returns {Limits}
 */
export function limitOf(name, text, times) {
  const value = readNumber(text);
  return value === null || value === undefined ? {}
    : { [name]: Math.min(1e9, Math.floor(value * times)) };
}

/** @param {unknown} text */
export function isUnread(text) {
  return readNumber(text) === undefined;
}

const AMOUNTS = {
  cash: (/** @type {number} */ n) => moneyWords(n),
  minutes: (/** @type {number} */ n) => minutesWords(n),
  litres: (/** @type {number} */ n) => `${n} litres`,
};
const NOUNS = { cash: "cash", minutes: "hours", litres: "room" };

/**
 * Why a find is left out, in words.
 * @param {string[]} why codes of the choice
 * @param {Limits} worth what it needs
 * @param {Limits} left what the chosen ones leave
 */
export function leftOutWords(why, worth, left) {
  if (why[0] === "not_worth") return "At this price it does not pay for your time.";
  if (why.length === 0) return "The search ended before it was tried.";
  return why.map((code) => {
    const [first, second] = code.split(":");
    const limit = /** @type {keyof typeof NOUNS} */ (second ?? first);
    const needs = AMOUNTS[limit](worth[limit]);
    return second ? `It needs ${needs}: more ${NOUNS[limit]} than you have.`
      : `It needs ${needs}, the others leave ${AMOUNTS[limit](Math.max(0, left[limit]))}.`;
  }).join(" ");
}
