import { html, nothing } from "../../vendor/lit/index.js";
import { moneyWords } from "../ui/words.js";

/**
 * "$21 an hour"; a dash where no minute is recorded.
 * @param {number | null} perHour minor units
 */
export function perHourWords(perHour) {
  return perHour === null ? "–" : moneyWords(perHour);
}

/**
 * How far it is to the goal, as a bar and in words.
 * @param {import("../books/profit.js").Goal | null} goal
 */
export function goalLine(goal) {
  if (!goal) return nothing;
  const name = goal.name || "your goal";
  return html`<p>
    <label class="goal"><span>${name}: ${moneyWords(goal.so_far)} of ${moneyWords(goal.amount)}</span>
      <progress max="1000000" .value=${goal.ppm}></progress></label>
  </p>`;
}

/**
 * What each month earned, and the sum up to then.
 * @param {import("../books/profit.js").Period[]} months
 * @returns {import("../ui/plot.js").Plot}
 */
export function earningsPlot(months) {
  let sum = 0;
  const sums = months.map((month) => (sum += month.earned));
  const words = (/** @type {number | null} */ value) => moneyWords(value === null ? null : Math.round(value));
  return {
    caption: "Earned, month by month",
    x: {
      label: "Month",
      values: months.map((_, i) => i),
      words: (i) => months[i ?? -1]?.period ?? "",
    },
    lines: [
      { label: "In the month", values: months.map((month) => month.earned), words },
      { label: "All in all", values: sums, words },
    ],
  };
}
