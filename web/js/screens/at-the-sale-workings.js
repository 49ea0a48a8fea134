import { html, nothing } from "../../vendor/lit/index.js";
import { nearestSales, why } from "../pricing/comps.js";
import { pace } from "../pricing/effort.js";
import { movedBy } from "../pricing/moves.js";
import { movedWords, paceWords } from "../pricing/words.js";
import { allPieces } from "../state/pieces.js";
import { notice } from "../ui/card.js";
import { waterfall } from "../ui/waterfall.js";
import { moneyWords, unbrokenMoney } from "../ui/words.js";
import { elsewhere } from "./at-the-sale-elsewhere.js";
import { said, workings } from "./at-the-sale-words.js";

/** @typedef {import("./at-the-sale-find.js").Live} Live */
/** @typedef {import("./at-the-sale-find.js").Find} Find */

const FINISHED_GRADE = 4;
const DAY = 86_400_000;

/** @typedef {import("../pricing/comps.js").CompSale} CompSale */
/** @type {WeakMap<object, {mark: string, sales: CompSale[]}>} until records or the day change */
const shelves = new WeakMap();

/**
 * Own sales as the comparison wants them: the one that counts of each piece, none that came back.
 * @param {any} household
 * @returns {CompSale[]}
 */
export function ownSales(household) {
  const mark = `${household.memory.version} ${household.today()}`;
  const known = shelves.get(household);
  if (known?.mark === mark) return known.sales;
  const sales = salesOf(household);
  shelves.set(household, { mark, sales });
  return sales;
}

/** @param {any} household @returns {CompSale[]} */
function salesOf(household) {
  return allPieces(household).flatMap(({ piece, sale }) => {
    if (!sale) return [];
    return [{
      id: sale.id, price: sale.price, kind: piece.kind ?? null, traits: piece.traits ?? [],
      count: piece.count ?? 1, grade: piece.finished_grade ?? FINISHED_GRADE,
      ageDays: Math.max(0, (household.now().getTime() - Date.parse(sale.at)) / DAY),
    }];
  });
}

/**
 * What is to be said of the person's own minutes for these steps, from their stints.
 * @param {any} household
 * @param {string[]} steps slugs
 * @returns {string[]}
 */
export function paceLines(household, steps) {
  if (!household.book) return [];
  const names = new Map(household.all("step").map((/** @type {Live} */ s) => [s.slug, s.name]));
  return pace(household.book).filter(({ step }) => steps.includes(step)).flatMap((one) => {
    const said = paceWords(one, names.get(one.step) ?? one.step);
    return said === null ? [] : [said];
  });
}

/**
 * The workings and what they rest on.
 * @param {object} view
 * @param {any} view.household
 * @param {Find} view.find
 * @param {import("../pricing/pad.js").PadAnswer} view.answer
 * @param {Live[]} view.traits all trait records
 */
export function workingsOf({ household, find, answer, traits }) {
  const names = Object.fromEntries(traits.map(({ slug, name }) => [slug, name]));
  const words = said(answer);
  return html`
    ${waterfall("From what it likely brings to the most to pay", workings(answer.waterfall))}
    <p class="note">${words.range}</p>
    ${words.caveats.length
      ? notice({ level: "note", title: "Bear in mind", text: html`<ul>
          ${words.caveats.map((text) => html`<li>${text}</li>`)}</ul>` })
      : nothing}
    ${looks(household, find, answer, names)}
    ${own(household, find)}
    ${nearest(household, find, names)}
    ${elsewhere(household, find)}`;
}

/**
 * What each chosen look does to the price, in money.
 * @param {any} household
 * @param {Find} find
 * @param {import("../pricing/pad.js").PadAnswer} answer
 * @param {Record<string, string>} names
 */
function looks(household, find, answer, names) {
  if (!find.traits.length) return nothing;
  const moves = movedBy(household.book, answer.range.likely, find.traits);
  const typed = answer.evidence.source === "typed";
  return html`<section class="stack tight">
    <h3>What its looks do to the price</h3>
    <ul class="rows" role="list">${moves.map((move) => html`<li class="row">
      <span class="row-text">${movedWords(move, names[move.trait] ?? move.trait, unbrokenMoney)}</span>
      </li>`)}</ul>
    ${typed ? html`<p class="note">You typed the price: this is already in it.</p>` : nothing}
  </section>`;
}

/**
 * Where own work differs from own figures, for the steps chosen.
 * @param {any} household
 * @param {Find} find
 */
function own(household, find) {
  const said = paceLines(household, find.steps);
  if (!said.length) return nothing;
  return html`<section class="stack tight"><h3>Your pace</h3>
    ${said.map((text) => html`<p>${text}</p>`)}</section>`;
}

/** @param {any} household @param {Find} find @param {Record<string, string>} names */
function nearest(household, find, names) {
  const looks = {
    kind: find.kind, traits: find.traits, count: find.count, grade: FINISHED_GRADE,
  };
  const comps = nearestSales(looks, ownSales(household));
  return html`<section class="stack tight">
    <h3>Your nearest sales</h3>
    ${comps.length ? nothing : html`<p class="note">None near enough yet.</p>`}
    <ul class="rows" role="list">${comps.map((comp) => html`<li class="row">
      <span class="row-text">${why(comp.reasons, names)}</span>
      <strong class="row-end figure">${moneyWords(comp.price)}</strong></li>`)}</ul>
  </section>`;
}
