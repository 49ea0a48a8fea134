import { html, nothing } from "../../vendor/lit/index.js";
import { ageWords, dayWords, minutesWords, moneyWords } from "../ui/words.js";

/**
 * The figures of a piece, those that there are.
 * @param {any} household
 * @param {import("../state/pieces.js").PieceView} view
 */
export function factsOf(household, { piece, cost, sale, asking, photos, line }) {
  const spot = piece.spot_id ? household.get("spot", piece.spot_id) : null;
  const today = household.today();
  /** @type {[string, string | null][]} */
  const rows = [
    ["Stands in", spot?.name ?? null],
    ["They asked", known(piece.ask) ? moneyWords(piece.ask) : null],
    ["Cost", known(cost) ? moneyWords(cost) : null],
    ["Work so far", line?.work_minutes ? minutesWords(line.work_minutes) : null],
    ["Asking", asking && !sale ? `${moneyWords(asking.amount)}, since ${dayWords(asking.from_on, today)}` : null],
    ["Sold", sale ? `${moneyWords(sale.price)}, ${dayWords(sale.on, today)}` : null],
    ["Clear", line && known(line.clear) ? moneyWords(line.clear) : null],
    ["Profit, after your time", line && known(line.profit) ? moneyWords(line.profit) : null],
    ["An hour of work", line && known(line.work_per_hour) ? moneyWords(line.work_per_hour) : null],
    ["An hour of everything", line && known(line.all_per_hour) ? moneyWords(line.all_per_hour) : null],
    ["Seen", ageWords(piece.at, household.now())],
    ["Recalls", recallWords(piece, today)],
    ["Photos", photos.length ? null : "none yet"],
  ];
  return html`<dl class="facts">${rows.map(([label, value]) => value
    ? html`<dt>${label}</dt><dd>${value}</dd>` : nothing)}</dl>`;
}

/** @param {any} value */
function known(value) {
  return value !== null && value !== undefined;
}

/** @param {any} piece @param {string} today */
function recallWords(piece, today) {
  return piece.recalls_checked_on ? `checked on ${dayWords(piece.recalls_checked_on, today)}` : "not checked";
}
