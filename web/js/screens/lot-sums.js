/** How the most to pay for several finds at one price adds up. Pure. */

import { WATERFALL } from "../pricing/words.js";

/** @typedef {import("../pricing/lots-answer.js").LotAnswer} LotAnswer */
/** @typedef {import("../pricing/waterfall.js").WaterfallRow} WaterfallRow */
/** @typedef {import("../pricing/waterfall.js").WaterfallKey} WaterfallKey */

/** What is taken off the sum for all, not off each. */
const OF_ALL = ["caution", "note", "short", "most"];

/**
 * The rows of each find's own workings added up, then what is taken off for all of them together.
 * What rounding leaves goes into "might not sell", as in those of one find.
 * @param {WaterfallRow[][]} each
 * @param {Pick<LotAnswer, "most" | "mostExact" | "binding">} lot
 * @returns {WaterfallRow[]}
 */
export function lotRows(each, { most, mostExact, binding }) {
  const keys = /** @type {WaterfallKey[]} */ (Object.keys(WATERFALL))
    .filter((key) => !OF_ALL.includes(key));
  const sum = (/** @type {number[]} */ amounts) => amounts.reduce((a, b) => a + b, 0);
  const rows = keys.map((key) => ({
    key, amount: sum(each.flat().filter((row) => row.key === key).map(({ amount }) => amount)),
  }));
  const left = mostExact - sum(rows.map(({ amount }) => amount));
  if (binding === "loss") rows.push({ key: "caution", amount: left });
  else for (const row of rows) if (row.key === "unsold") row.amount += left;
  rows.push({ key: "note", amount: most - mostExact });
  const shown = rows.filter(({ key, amount }) => key === "likely" || amount !== 0);
  return [...shown, { key: "most", amount: most }];
}
