/** The answers about asking and offers in short plain words. Pure. */

import { CAVEATS } from "../pricing/words.js";
import { aboutMoney, countWords, dayWords, moneyWords } from "../ui/words.js";

/**
 * @typedef {import("../pricing/asking-answer.js").AskingAnswer} AskingAnswer
 * @typedef {import("../pricing/asking-answer.js").PlanData} PlanData
 * @typedef {import("../pricing/asking-answer.js").AskingEvidence} AskingEvidence
 * @typedef {import("../pricing/offer-answer.js").OfferAnswer} OfferAnswer
 * @typedef {{path: string, code: string, message: string}} Problem
 */

/** @type {Record<string, string>} */
const SAID = {
  let_go: "Letting it go now is worth as much to you as waiting.",
  stood: "That it stands unsold says something: buyers seem to think less of it.",
  slower_than_said: "Your pieces stood longer than expected so far; these chances are for asking as here.",
  quicker_than_said: "Your pieces sold better than expected so far; these chances are for asking as here.",
};

/** What the fields are called in a sentence. @type {Record<string, string>} */
const FIELDS = {
  book: "Your numbers", "find.kind": "The kind", kind: "The kind", today: "Today's day",
  "typed.likely": "What it likely brings", "typed.low": "The low price",
  "typed.high": "The high price", count: "The number of pieces", steps: "The steps",
  start: "The first day", last_on: "The last day", by_on: "The day you name",
  prices: "The prices", asked: "The prices so far", planned: "The planned drops",
  offer: "The offer", price: "The asking price", others: "How many others are thinking",
  holds: "Your promises so far", failed: "The promises that failed", hold_days: "The days held",
};

/**
 * What is wrong, in one sentence that names the field and the cure.
 * @param {Problem} problem
 */
export function problemWords({ path, code, message }) {
  if (code === "required" && path === "book") {
    return "Your numbers come to this phone with the first sync.";
  }
  if (code === "required" && path === "kind") return "Say what kind of piece it is first.";
  if (code === "required" && path === "typed.likely") {
    return "No price is known for this kind yet. Say what it likely brings first.";
  }
  const name = FIELDS[path] ?? FIELDS[path.replace(/\.\d+.*$/, "")] ?? path;
  const what = message.replace(/^.*already: /, "");
  return `${name}: ${what.charAt(0).toLowerCase()}${what.slice(1)}.`;
}

/**
 * A chance without false precision: "7 in 10".
 * @param {number} chance
 */
export function inTen(chance) {
  if (chance < 0.05) return "hardly any";
  if (chance >= 0.95) return "nearly all";
  return `${Math.floor(chance * 10 + 0.5)} in 10`;
}

/** A chance inside a sentence. @param {number} chance */
function about(chance) {
  return chance < 0.05 || chance >= 0.95 ? inTen(chance) : `about ${inTen(chance)}`;
}

/** @param {string} text */
function capital(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** @param {number} days */
function span(days) {
  if (days < 2) return "about a day";
  return days < 14 ? `some ${days} days` : `some ${countWords(Math.floor(days / 7 + 0.5), "week")}`;
}

/** Days from today within which a price can begin. */
const [BACK, AHEAD] = [5 * 366, 2 * 366];

/**
 * What is wrong with the day from which a price is asked.
 * @param {string} on
 * @param {string} today
 * @returns {string | undefined}
 */
export function fromProblem(on, today) {
  const days = (Date.parse(on) - Date.parse(today)) / 86_400_000;
  if (days < -BACK) return "From: that is more than five years back. Is the year right?";
  return days > AHEAD ? "From: that is more than two years ahead. Is the year right?" : undefined;
}

/**
 * A day to come; its year only where it is more than some ten months away.
 * @param {string} on
 * @param {string} today
 */
export function comingDay(on, today) {
  const away = (Date.parse(on) - Date.parse(today)) / 86_400_000;
  return dayWords(on, away >= 0 && away < 300 ? on : today);
}

/**
 * What asking by a plan comes to.
 * @param {PlanData} plan
 * @param {string} today
 */
export function planSentence({ chance, endsOn, days }, today) {
  return `${capital(about(chance))} such pieces sell this way by ${comingDay(endsOn, today)}; `
    + `it stands for ${span(days)}.`;
}

/** What the plan is worth. @param {number} value */
export function worthSentence(value) {
  return value > 0
    ? `From here it is worth about ${aboutMoney(value)} to you, after fees and standing.`
    : "From here it is worth nothing to you after fees and standing.";
}

/**
 * A typed price beside the plan.
 * @param {AskingAnswer} answer
 * @param {string} today
 */
export function typedSentence({ typed, plan }, today) {
  if (!typed) return null;
  const less = plan.value - typed.value;
  const beside = Math.abs(less) < 100 ? "worth as much as the plan"
    : `worth about ${aboutMoney(Math.abs(less))} ${less > 0 ? "less" : "more"} than the plan`;
  return `At ${moneyWords(typed.steps[0].list)} without drops: ${about(typed.chance)} by `
    + `${comingDay(typed.endsOn, today)}, ${beside}.`;
}

/**
 * The chance by a day the person named.
 * @param {AskingAnswer} answer
 * @param {string} today
 */
export function bySentence({ by, typed }, today) {
  if (!by) return null;
  const own = by.typed === null || !typed ? ""
    : ` At your ${moneyWords(typed.steps[0].list)}: ${about(by.typed)}.`;
  return `Sold by ${comingDay(by.on, today)}: ${about(by.plan)}.${own}`;
}

/**
 * What the chances go by.
 * @param {AskingEvidence} evidence
 */
export function evidenceSentence({ ownListings, level, source }) {
  const price = source === "typed" ? " The price is the one you typed." : "";
  if (ownListings === 0) return `A guess: none of your own pieces was listed yet.${price}`;
  const from = `From ${ownListings} of your listings`;
  return `${from}${level === "guess" ? ": still a guess, until about 20" : ""}.${price}`;
}

/**
 * Everything to bear in mind.
 * @param {string[]} codes
 */
export function caveatWords(codes) {
  return codes.filter((code) => code !== "typed_price").map((code) => SAID[code] ?? CAVEATS[code]);
}

/**
 * The parts behind the plan, each with its amount.
 * @param {AskingAnswer} answer
 * @returns {{label: string, words: string}[]}
 */
export function askingWorkings({ plan, constant, givesUp, week, letGo, likely, haggle }) {
  const off = Math.floor((1 - Math.exp(-haggle)) * 100 + 0.5);
  const one = constant.steps[0].list;
  const less = Math.max(0, plan.value - constant.value);
  return [
    { label: "Likely brings", words: aboutMoney(likely) },
    { label: "Haggling takes off", words: `about ${off}%` },
    { label: "Best single price", words: moneyWords(one) },
    { label: "The drops add", words: little(less) },
    { label: "More and smaller drops would add", words: little(givesUp) },
    { label: "Listing it a week later costs", words: little(week) },
    { label: "If it must go", words: aboutMoney(letGo) },
  ];
}

/** An estimate that may be next to nothing. @param {number} minor */
function little(minor) {
  return Math.abs(minor) < 100 ? "less than $1" : aboutMoney(minor);
}

/**
 * What is wrong with an amount to say to an offer.
 * @param {number | null | undefined} amount minor units
 * @param {{offer: number, price: number}} answer
 * @returns {string | undefined}
 */
export function counterProblem(amount, { offer, price }) {
  if (amount === null || amount === undefined) return undefined;
  if (amount <= offer) return `They offer ${moneyWords(offer)}: say more than that, or take it.`;
  return amount > Math.max(offer, price) && offer < price
    ? `You ask ${moneyWords(price)}: say that or less.` : undefined;
}

/** @type {Record<string, string>} */
const ADVICE = { take: "Take it", wait: "Wait" };

/**
 * What to say to the offer, big.
 * @param {OfferAnswer} answer
 */
export function adviceWords({ best, counter }) {
  return best === "counter" && counter ? `Say ${moneyWords(counter.amount)}` : ADVICE[best];
}

/**
 * Why, in one sentence.
 * @param {OfferAnswer} answer
 */
export function adviceSentence({ best, take, wait, counter, offer, noShow }) {
  const taking = `taking ${moneyWords(offer)}`;
  const worth = (/** @type {number} */ value) => aboutMoney(value);
  const why = Math.abs(take - offer) < 100 ? ""
    : ` Taking it is worth ${take > offer ? "more" : "less"} than they offer because ${about(noShow)} `
      + "who agree do not come, and then you wait on.";
  const waiting = `waiting about ${worth(wait)}.${why}`;
  if (best === "counter" && counter) {
    return `${capital(about(counter.yes))} say yes to that. It is worth about `
      + `${worth(counter.value)} to you; ${taking} about ${worth(take)}, ${waiting}`;
  }
  return `${capital(taking)} is worth about ${worth(take)} to you, ${waiting}`;
}

/**
 * What the answer to an offer allows for.
 * @param {OfferAnswer} answer
 * @param {{holds: number, failed: number}} record
 */
export function offerWorkings({ leastToTake, noShow, others, letGo, price }, { holds }) {
  const source = holds === 0 ? "a guess" : `from ${countWords(holds, "promise")} of yours`;
  return [
    { label: "Asked now", words: moneyWords(price) },
    { label: "Least to take", words: leastToTake === null ? "–" : moneyWords(leastToTake) },
    { label: `Who agrees does not come (${source})`, words: inTen(noShow) },
    { label: "Others thinking", words: String(others) },
    { label: "If it must go", words: aboutMoney(letGo) },
  ];
}
