/** How a choice among finds adds up, find by find. */

import { html, nothing } from "../../vendor/lit/index.js";
import { toTheCent } from "../ui/words.js";

/** @typedef {import("./choose-finds.js").Worth} Worth */
/** @typedef {{name: string, at: {worth?: Worth, clear: number}}} Row */

/**
 * What the chosen finds come to, each and together; more profit is a better choice.
 * @param {Row[]} chosen
 */
export function choiceWorkings(chosen) {
  if (!chosen.length) return nothing;
  const rows = chosen.map(({ name, at }) => figures(name, at));
  const sum = (/** @type {"clear" | "time" | "profit"} */ key) =>
    rows.reduce((total, row) => total + row[key], 0);
  return html`<details class="more"><summary>Workings</summary><div class="stack tight">
    <p class="note">Of what was tried, this leaves most profit: what you clear, less your time at
      your wage. Time counts as it is on average, a little more than the likely minutes.</p>
    ${rows.map(({ name }, i) => html`<table class="waterfall">
      <caption>${name}</caption><tbody>
        ${line("Clear, likely", rows[i].clear, "start")}
        ${line("Your time", -rows[i].time)}
        ${line("Profit", rows[i].profit, "end")}</tbody></table>`)}
    ${chosen.length < 2 ? nothing : html`<table class="waterfall">
      <caption>Together</caption><tbody>
        ${line("Clear, likely", sum("clear"), "start")}
        ${line("Your time", -sum("time"))}
        ${line("Profit", sum("profit"), "end")}</tbody></table>`}
  </div></details>`;
}

/** @param {string} name @param {Row["at"]} at */
function figures(name, { worth, clear }) {
  const profit = worth?.value ?? 0;
  return { name, clear, time: clear - profit, profit };
}

/** @param {string} label @param {number} amount minor units @param {string} [place] */
function line(label, amount, place = "") {
  return html`<tr class=${place}><th scope="row">${label}</th>
    <td class="figure">${toTheCent(amount || 0)}</td></tr>`;
}
