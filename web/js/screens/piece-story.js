import { html, nothing } from "../../vendor/lit/index.js";
import { recordsOf } from "../state/pieces.js";
import { countWords, dayWords, minutesWords, moneyWords } from "../ui/words.js";
import { pieceName } from "./piece-words.js";

/** @typedef {{at: string, text: string, more?: string}} Event what happened, and when */

/**
 * The whole story of a piece, newest first, from the facts that name it.
 * @param {any} household
 * @param {any} piece
 * @returns {Event[]}
 */
export function storyOf(household, piece) {
  return [...ofPiece(household, piece), ...ofFacts(household, piece)]
    .filter((event) => event.at)
    .sort((a, b) => (a.at < b.at ? 1 : -1));
}

/** @param {any} household @param {any} piece @returns {Event[]} */
function ofPiece(household, piece) {
  const purchase = piece.purchase_id ? household.get("purchase", piece.purchase_id) : null;
  const stop = piece.stop_id ? household.get("stop", piece.stop_id) : null;
  const asked = piece.ask === null || piece.ask === undefined ? "" : `, asks ${moneyWords(piece.ask)}`;
  const split = household.where("split", "child_id", piece.id)[0];
  const seen = `Seen${stop?.name ? ` at ${stop.name}` : ""}${asked}`;
  /** @type {Event[]} */
  const events = [
    { at: piece.at, text: split ? `Split off from ${nameOf(household, split.parent_id)}` : seen },
    { at: piece.passed_at, text: "Passed" },
    { at: piece.later_at, text: "Left for later" },
    { at: piece.ready_at, text: "Ready" },
    { at: piece.kept_at, text: "Kept for ourselves" },
    { at: piece.let_go_at, text: `Let go${piece.let_go_how ? ` (${piece.let_go_how})` : ""}` },
  ];
  if (purchase) {
    const share = household.where("piece", "purchase_id", purchase.id).length;
    const together = share > 1 ? `, ${countWords(share, "piece")} together` : "";
    events.push({ at: purchase.at, text: `Bought for ${moneyWords(purchase.total)}${together}` });
    if (purchase.fetched_at) events.push({ at: purchase.fetched_at, text: "Fetched" });
  }
  return events;
}

/** @param {any} household @param {string} id of a piece that may be gone */
function nameOf(household, id) {
  const piece = household.get("piece", id);
  return piece ? pieceName(household, piece) : "a piece that is gone";
}

/** @type {Record<string, (fact: any, household: any) => Event[]>} */
const TELLERS = {
  asking_price: (f, household) => [{
    at: f.at,
    text: f.planned
      ? `A drop to ${moneyWords(f.amount)} planned for ${dayWords(f.from_on, household.today())}`
      : `Asking ${moneyWords(f.amount)}`,
  }],
  inquiry: (f) => [{ at: f.at, text: `${f.name || "Somebody"} asked`, more: f.note }],
  offer: (f) => [{
    at: f.at,
    text: `Offer of ${moneyWords(f.amount)}${f.answer ? `, ${f.answer}` : ""}`,
    more: f.note,
  }],
  hold: (f) => [
    { at: f.at, text: `Promised to ${f.name || "a buyer"}`, more: f.terms },
    { at: f.released_at, text: "Promise released" },
  ],
  payment: (f) => [{ at: f.at, text: `${moneyWords(f.amount)} received`, more: f.note }],
  sale: (f, household) => [
    { at: f.at, text: `Sold for ${moneyWords(f.price)}${f.buyer ? ` to ${f.buyer}` : ""}` },
    ...household.where("return", "sale_id", f.id).map((/** @type {any} */ r) => ({
      at: r.at,
      text: `${moneyWords(r.refund)} given back${r.back_in_stock ? ", piece came back" : ""}`,
      more: r.note,
    })),
  ],
  piece_step: (f, household) => [{
    at: f.done_at,
    text: `${household.where("step", "slug", f.step)[0]?.name ?? f.step} done`,
  }],
  supply_use: (f, household) => [{
    at: f.at, text: `${household.get("supply", f.supply_id)?.name ?? "Supplies"} used`,
    more: f.cost ? moneyWords(f.cost) : "",
  }],
  delivery: (f) => [{ at: f.at, text: `Driven to ${f.destination || "the buyer"}` }],
  tag: (f) => [{ at: f.bound_at, text: `Tag ${f.code} put on` }],
};

/** @param {any} household @param {any} piece @returns {Event[]} */
function ofFacts(household, piece) {
  const ids = recordsOf(household, piece.id);
  const of = (/** @type {string} */ type, field = "piece_id") =>
    ids.flatMap((id) => household.where(type, field, id));
  const told = Object.entries(TELLERS).flatMap(([type, tell]) =>
    of(type).flatMap((/** @type {any} */ fact) => tell(fact, household)));
  const parted = of("split", "parent_id").map((/** @type {any} */ f) => ({
    at: f.at, text: `${nameOf(household, f.child_id)} split off`,
  }));
  const stints = of("stint", "piece_ids").map((/** @type {any} */ f) => ({
    at: f.started_at,
    text: `${f.minutes ? minutesWords(f.minutes) : "Timer running"} of work`,
    more: [household.where("step", "slug", f.step)[0]?.name, f.who].filter(Boolean).join(", "),
  }));
  return [...told, ...parted, ...stints];
}

/**
 * The story as a list.
 * @param {any} household
 * @param {any} piece
 */
export function storyList(household, piece) {
  const today = household.today();
  return html`<ol class="rows" role="list">
    ${storyOf(household, piece).map(({ at, text, more }) => html`<li class="story-event">
      <span class="note">${dayWords(localDay(at, household), today)}</span>
      <span>${text}${more ? html`<span class="note"> ${more}</span>` : nothing}</span>
    </li>`)}
  </ol>`;
}

/** @param {string} at @param {any} household the day of an instant on the household's calendar */
function localDay(at, household) {
  return household.dayOf(new Date(at));
}
