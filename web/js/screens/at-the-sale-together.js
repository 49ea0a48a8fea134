/** One price for several finds: which of them, and what each then costs. */

import { html, nothing } from "../../vendor/lit/index.js";
import { priceLot } from "../pricing/lots-answer.js";
import { CAVEATS, NOTHING, chanceSentence } from "../pricing/words.js";
import { pieceView } from "../state/pieces.js";
import { isGone } from "../state/returns.js";
import { checkChips } from "../ui/chips.js";
import { aboutMoney, ageWords, minutesWords, moneyWords, toTheCent } from "../ui/words.js";
import { findOf } from "./at-the-sale-again.js";
import { nameOf, viewOf } from "./at-the-sale-view.js";
import { lotWorkings } from "./lot-workings.js";

/** @typedef {import("./at-the-sale-find.js").Live} Live */
/** @typedef {import("../state/finds.js").Look} Look */

/**
 * The other finds of today that are not bought, the newest look first; without those that were
 * gone when one went back for them.
 * @param {any} household
 * @param {string | null} id of the find that is being bought
 * @returns {Live[]}
 */
export function furtherFinds(household, id) {
  const today = household.today();
  return household.all("piece")
    .filter((/** @type {Live} */ piece) => piece.id !== id
      && household.dayOf(new Date(lookedAt(piece))) === today
      && ["seen", "passed"].includes(pieceView(household, piece.id).stage)
      && !isGone(household, piece.id))
    .sort((/** @type {Live} */ a, /** @type {Live} */ b) =>
      lookedAt(b).localeCompare(lookedAt(a)));
}

/** @param {Live} piece @returns {string} the instant of the last look at it */
function lookedAt(piece) {
  return piece.passed_at ?? piece.later_at ?? piece.at;
}

/**
 * A find that was kept, with what the pad says of it now.
 * @param {any} household
 * @param {Live} piece
 * @returns {Look}
 */
export function lookAgain(household, piece) {
  const find = findOf(household, piece);
  return { find, view: viewOf(household, find) };
}

/**
 * What a find is called in a list.
 * @param {Live[]} kinds
 * @param {{title?: string | null, kind?: string | null, count?: number | null}} find
 */
export function findName(kinds, { title, kind, count }) {
  const name = title || nameOf(kinds, kind) || "A find";
  return (count ?? 1) > 1 ? `${count} × ${name}` : name;
}

/**
 * The fold with the finds to tick.
 * @param {object} view
 * @param {any} view.household
 * @param {Live[]} view.finds
 * @param {string[]} view.chosen ids
 * @param {(ids: string[]) => void} view.onChange
 */
export function togetherFold({ household, finds, chosen, onChange }) {
  if (!finds.length) return nothing;
  const kinds = household.all("kind");
  const options = finds.map((find) => ({
    value: find.id,
    label: findName(kinds, find),
    hint: [
      ageWords(lookedAt(find), household.now()),
      ...(find.ask === null || find.ask === undefined ? [] : [`asked ${moneyWords(find.ask)}`]),
    ].join(", "),
  }));
  return html`<details class="more">
    <summary>Together with others</summary>
    ${checkChips({ legend: "Also for this money", options, values: chosen, onChange })}
  </details>`;
}

/** @typedef {import("../pricing/lots-answer.js").LotAnswer} LotAnswer */
/** @typedef {LotAnswer | import("../pricing/pad.js").PadRefusal} LotSaid */

/** @type {WeakMap<object, {asked: string, said: LotSaid}>} the last answer of a household's book */
const lots = new WeakMap();

/**
 * What the numbers say of several finds at one price; null before they came from home.
 * @param {any} household
 * @param {Look[]} looks
 * @param {number | null} paid minor units, for all of them
 * @returns {LotSaid | null}
 */
export function lotOf({ book }, looks, paid) {
  if (!book) return null;
  const inputs = looks.map(({ view }) => view.input);
  const asked = JSON.stringify([inputs, paid]);
  const known = lots.get(book);
  if (known?.asked === asked) return known.said;
  const said = priceLot(book, inputs, paid);
  lots.set(book, { asked, said });
  return said;
}

const BINDING = {
  profit: "Your least profit on each of them sets it.",
  loss: "Your limit for losses sets it.",
};
const GROUPED = `More than ten: the ten that likely bring most are reckoned one by one, the others
  together, and what each one adds is left out.`;

/**
 * The most to pay for several finds, which limit sets it, and what the price comes to.
 * @param {LotAnswer} lot
 * @param {Look[]} looks
 */
export function lotPart(lot, looks) {
  const { most, binding, nothingReason, minutes, atAsk, caveats } = lot;
  const answers = looks.flatMap(({ view }) => (view.answer.ok ? [view.answer] : []));
  return html`<section class="stack tight bought-lot" aria-label="All of them">
    <p>${most > 0 ? html`Most to pay for all: <strong class="figure">${moneyWords(most)}</strong>.`
      : html`<strong>Nothing for all of them.</strong> ${NOTHING[nothingReason ?? "costs"]}`}
      ${binding === "none" ? nothing : BINDING[binding]}</p>
    ${atAsk === null ? nothing : html`<p>At ${moneyWords(atAsk.ask)} you
      ${atAsk.clear < 0 ? "lose" : "clear"} ${aboutMoney(Math.abs(atAsk.clear))} with
      ${minutesWords(minutes)} of work. ${chanceSentence(atAsk.lossWords)}</p>`}
    ${caveats[0] === "grouped" ? html`<p class="note">${GROUPED}</p>` : nothing}
    ${caveats.includes("guess") ? html`<p class="note">${CAVEATS.guess}</p>` : nothing}
    ${lotWorkings(answers, lot)}
  </section>`;
}

/**
 * What each of several finds costs, and what it adds to the most to pay for all of them.
 * @param {any} household
 * @param {Look[]} looks
 * @param {number[]} shares minor units
 * @param {LotAnswer | null} lot null where it is not known or not to be seen
 */
export function splitList(household, looks, shares, lot) {
  const kinds = household.all("kind");
  const known = looks.every(({ view }) => view.answer.ok);
  return html`<section class="stack tight bought-split">
    <h3>What each one costs</h3>
    <p class="note">${known ? "Shared by what each likely brings." : `Shared equally: what they
      bring is not known of all of them.`}</p>
    <ul class="rows" role="list">${looks.map(({ find }, i) => html`<li class="row">
      <span class="row-text">${findName(kinds, find)}
        ${lot ? html`<span class="note">${addsWords(lot.pieces[i].adds)}</span>` : nothing}</span>
      <strong class="row-end figure">${toTheCent(shares[i])}</strong></li>`)}</ul>
  </section>`;
}

/** @param {number | null} adds minor units, to the most to pay for all */
function addsWords(adds) {
  if (adds === null) return "";
  const amount = aboutMoney(Math.abs(adds));
  if (amount === "$0") return "adds nothing to the most to pay";
  return adds > 0 ? `adds ${amount} to the most to pay` : `takes ${amount} off the most to pay`;
}
