import { html } from "../../vendor/lit/index.js";
import { moneyWords } from "../ui/words.js";
import { comingDay, inTen } from "./asking-words.js";

/**
 * The drop plan: from when, what to ask, and the chance that it is sold by its end.
 * @param {import("../pricing/asking-answer.js").PlanData} plan
 * @param {string} today
 */
export function planTable({ steps }, today) {
  return html`<table class="table">
    <caption class="unseen">The drop plan</caption>
    <thead><tr>
      <th scope="col">From</th><th scope="col" class="figure">Ask</th><th scope="col">Sold</th>
    </tr></thead>
    <tbody>${steps.map(({ on, until, list, chance }) => html`<tr>
      <th scope="row" class="day">${on === today ? "Today" : comingDay(on, today)}</th>
      <td class="figure">${moneyWords(list)}</td>
      <td>${inTen(chance)} by ${comingDay(until, today)}</td>
    </tr>`)}</tbody>
  </table>`;
}

/**
 * The chance to be sold over time, by the plan and at the typed price.
 * @param {import("../pricing/asking-answer.js").AskingAnswer} answer
 * @param {string} today
 * @returns {import("../ui/plot.js").Plot}
 */
export function chancePlot({ curve, typed }, today) {
  const words = (/** @type {number | null} */ value) =>
    (value === null ? "–" : `${5 * Math.floor(value * 20 + 0.5)}%`);
  const own = { label: "At your price", values: curve.map((row) => row.typed), words };
  return {
    caption: "Chance to be sold, over time",
    x: {
      label: "Day",
      values: curve.map((_, i) => i),
      words: (i) => (curve[i ?? -1] ? comingDay(curve[i ?? -1].on, today) : ""),
    },
    lines: [
      { label: "By the plan", values: curve.map((row) => row.plan), words },
      ...(typed ? [own] : []),
    ],
  };
}
