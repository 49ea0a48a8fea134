import { html, nothing } from "../../vendor/lit/index.js";
import { button } from "../ui/button.js";
import { badge } from "../ui/card.js";
import { pieceView } from "../state/pieces.js";
import { isGone } from "../state/returns.js";
import { ageWords, moneyWords } from "../ui/words.js";
import { fromPiece } from "./at-the-sale-find.js";
import "./at-the-sale-back.js";
import "./piece-photo.js";

/** @typedef {import("./at-the-sale-find.js").Live} Live */

const SHOWN = 8;

/**
 * Finds that were passed or left for later, the newest first.
 * @param {Live[]} pieces
 * @param {Live[]} purchases bought pieces are no longer undecided
 * @returns {Live[]}
 */
export function undecided(pieces, purchases) {
  const bought = new Set(purchases.map((purchase) => purchase.id));
  return pieces
    .filter((piece) => (piece.passed_at || piece.later_at) && !bought.has(piece.purchase_id)
      && !piece.opening_on)
    .sort((a, b) => decidedAt(b).localeCompare(decidedAt(a)));
}

/** @param {Live} piece @returns {string} */
function decidedAt(piece) {
  return piece.passed_at ?? piece.later_at ?? "";
}

/**
 * The find that is asked for by its id; null for one that is not there or is decided for good.
 * @param {any} household
 * @param {string} id
 * @returns {Live | null}
 */
export function askedFind(household, id) {
  const piece = household.get("piece", id);
  return piece && ["seen", "passed"].includes(pieceView(household, piece.id).stage) ? piece : null;
}

/**
 * A find with its steps and photos, as the pad wants it.
 * @param {any} household
 * @param {Live} piece
 */
export function findOf(household, piece) {
  const of = (/** @type {string} */ type) => household.where(type, "piece_id", piece.id);
  return fromPiece(piece, of("piece_step"), of("photo"));
}

/**
 * The list below the fold, each with the way back to the pad; without those that one went back
 * for and that were gone.
 * @param {object} view
 * @param {any} view.household
 * @param {Live[]} view.finds
 * @param {(find: Live) => string} view.nameOf
 * @param {(find: Live) => void} view.onBack
 */
export function againList({ household, finds, nameOf, onBack }) {
  const there = finds.filter(({ id }) => !isGone(household, id));
  if (!there.length) return nothing;
  return html`<section class="sale-again">
    <div class="spread"><h2>Passed and later</h2>
      <a class="button" href="#/choose">Which of these?</a></div>
    <ul class="rows" role="list">
      ${there.slice(0, SHOWN).map((find) => row(household, find, nameOf(find), onBack))}
    </ul>
  </section>`;
}

/**
 * @param {any} household
 * @param {Live} find
 * @param {string} name
 * @param {(find: Live) => void} onBack
 */
function row(household, find, name, onBack) {
  const stop = find.stop_id ? household.get("stop", find.stop_id) : null;
  const photo = household.where("photo", "piece_id", find.id)[0];
  const facts = [
    ageWords(decidedAt(find), household.now()),
    ...(stop?.name ? [stop.name] : []),
    ...(find.ask === null || find.ask === undefined ? [] : [`they asked ${moneyWords(find.ask)}`]),
  ];
  return html`<li class="row">
    <piece-photo .household=${household} .sha256=${photo?.sha256 ?? ""} .alt=${name}></piece-photo>
    <div class="row-text"><span class="row-title">${name}
        ${find.later_at && !find.passed_at ? badge("later", "brass") : badge("passed")}</span>
      <span class="note">${facts.join(" · ")}</span>
      <sale-back .household=${household} .piece=${find} .find=${() => findOf(household, find)}
        @found=${() => onBack(find)}></sale-back></div>
    <div class="row-end">${button({ label: "Bring back", onClick: () => onBack(find) })}</div>
  </li>`;
}
