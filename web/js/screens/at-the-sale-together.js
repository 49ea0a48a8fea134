/** One price for several finds: which of them, and what each then costs. */

import { html, nothing } from "../../vendor/lit/index.js";
import { pieceView } from "../state/pieces.js";
import { checkChips } from "../ui/chips.js";
import { ageWords, moneyWords, toTheCent } from "../ui/words.js";
import { findOf } from "./at-the-sale-again.js";
import { nameOf, viewOf } from "./at-the-sale-view.js";

/** @typedef {import("./at-the-sale-find.js").Live} Live */
/** @typedef {import("../state/finds.js").Look} Look */

/**
 * The other finds of today that are not bought, the newest look first.
 * @param {any} household
 * @param {string | null} id of the find that is being bought
 * @returns {Live[]}
 */
export function furtherFinds(household, id) {
  const today = household.today();
  return household.all("piece")
    .filter((/** @type {Live} */ piece) => piece.id !== id
      && household.dayOf(new Date(lookedAt(piece))) === today
      && ["seen", "passed"].includes(pieceView(household, piece.id).stage))
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

/**
 * What each of several finds costs.
 * @param {any} household
 * @param {Look[]} looks
 * @param {number[]} shares minor units
 */
export function splitList(household, looks, shares) {
  const kinds = household.all("kind");
  const known = looks.every(({ view }) => view.answer.ok);
  return html`<section class="stack tight bought-split">
    <h3>What each one costs</h3>
    <p class="note">${known ? "Shared by what each likely brings." : `Shared equally: what they
      bring is not known of all of them.`}</p>
    <ul class="rows" role="list">${looks.map(({ find }, i) => html`<li class="row">
      <span class="row-text">${findName(kinds, find)}</span>
      <strong class="row-end figure">${toTheCent(shares[i])}</strong></li>`)}</ul>
  </section>`;
}
