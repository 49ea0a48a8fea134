/** How a choice among finds adds up, find by find. */

import { html, nothing } from "../../vendor/lit/index.js";
import { waterfall } from "../ui/waterfall.js";

/** @typedef {import("./choose-finds.js").Worth} Worth */
/** @typedef {{name: string, at: {worth?: Worth, clear: number}}} Row */

/**
 * What the chosen finds come to, each and together; more profit is a better choice.
 * @param {Row[]} chosen
 */
export function choiceWorkings(chosen) {
  if (!chosen.length) return nothing;
  const all = chosen.map(({ name, at: { clear, worth } }) =>
    ({ name, clear, profit: worth?.value ?? 0 }));
  const sum = (/** @type {"clear" | "profit"} */ key) =>
    all.reduce((total, one) => total + one[key], 0);
  const together = { name: "Together", clear: sum("clear"), profit: sum("profit") };
  return html`<details class="more"><summary>Workings</summary><div class="stack tight">
    <p class="note">Of what was tried, this leaves most profit: what you clear, less your time at
      your wage. Time counts as it is on average, a little more than the likely minutes.</p>
    ${(all.length > 1 ? [...all, together] : all).map(({ name, clear, profit }) => waterfall(name, [
      { label: "Clear, likely", amount: clear, place: "start" },
      { label: "Your time", amount: profit - clear },
      { label: "Profit", amount: profit, place: "end" },
    ], { titled: true }))}
  </div></details>`;
}
