import { html, nothing } from "../../vendor/lit/index.js";
import { moneyWords, toTheCent } from "./words.js";

/**
 * @typedef {object} WaterfallRow
 * @property {string} label
 * @property {number} amount minor units, signed
 * @property {"start" | "end"} [place] the first and the last line are sums
 */

/**
 * The workings, one row a part, from the first sum to the last.
 * @param {string} caption
 * @param {WaterfallRow[]} rows
 * @param {{titled?: boolean}} [options] titled: the caption is to be seen
 */
export function waterfall(caption, rows, { titled = false } = {}) {
  const words = rows.some(({ amount }) => amount % 100 !== 0) ? toTheCent : moneyWords;
  return html`<table class="waterfall">
    <caption class=${titled ? nothing : "unseen"}>${caption}</caption>
    <tbody>
      ${rows.map((row) => html`<tr class=${row.place ?? ""}>
        <th scope="row">${row.label}</th>
        <td class="figure">${signed(row, words)}</td>
      </tr>`)}
    </tbody>
  </table>`;
}

/** @param {WaterfallRow} row @param {(minor: number) => string} words */
function signed({ amount, place }, words) {
  return place || amount <= 0 ? words(amount) : `+${words(amount)}`;
}
