/** The hold from above and from the side, with the same in words. */

import { html, svg } from "../../vendor/lit/index.js";
import { showMeasure } from "../basis/units.js";

/** @typedef {import("../pricing/loading.js").Loaded} Loaded */
/** @typedef {{loaded: Loaded[], names: string[], hold: number[], units: "us" | "metric"}} Load */

/**
 * @param {Load} load
 */
export function loadDrawing(load) {
  const lines = load.loaded.map((one, i) => inWords(one, i, load));
  return html`<figure class="load-figure">
    ${view(load, "From above, the front of the car on the left", 1)}
    ${view(load, "From the side, the front of the car on the left", 2)}
    <figcaption class="note">In this order, the front of the car first:</figcaption>
    <ol class="load-order">${lines.map((line) => html`<li>${line}</li>`)}</ol>
  </figure>`;
}

/**
 * @param {Load} load
 * @param {string} title
 * @param {1 | 2} across the axis that is drawn upright: 1 from above, 2 from the side
 */
function view({ loaded, names, hold }, title, across) {
  const [long, tall] = [hold[0], hold[across]];
  const type = Math.round(long / 16);
  const top = (/** @type {Loaded} */ { at, size }) => (
    across === 2 ? tall - at[2] - size[2] : at[1]);
  const order = loaded.map((one, i) => ({ ...one, number: i + 1 }))
    .sort((a, b) => (across === 2 ? b.at[1] - a.at[1] : a.at[2] - b.at[2]));
  const said = loaded.map(({ piece }, i) => `${i + 1} ${names[piece]}`).join(", ");
  return html`<p class="note">${title}</p>
    <svg class="load-view" viewBox="0 0 ${long} ${tall}" role="img" aria-label="${title}: ${said}">
      <rect class="load-hold" x="0" y="0" width=${long} height=${tall}></rect>
      ${order.map((one) => svg`<g>
        <rect class="load-piece" x=${one.at[0]} y=${top(one)} width=${one.size[0]}
          height=${one.size[across]}></rect>
        <text class="load-number" font-size=${type} x=${one.at[0] + one.size[0] / 2}
          y=${top(one) + one.size[across] / 2 + type / 3}>${one.number}</text></g>`)}
    </svg>`;
}

/** @param {Loaded} one @param {number} i @param {Load} load */
function inWords({ piece, at, size }, i, { names, units }) {
  const show = (/** @type {number} */ mm) => showMeasure(mm, "length", units);
  const [deep, across, up] = at;
  const place = [
    deep === 0 ? "at the front" : `${show(deep)} from the front`,
    across === 0 ? "against the left" : `${show(across)} from the left`,
    up === 0 ? "on the floor" : `${show(up)} up, on what is below it`,
  ].join(", ");
  return `${names[piece]}: ${place}; it takes ${show(size[0])} along the car, ${show(size[1])} `
    + `across, ${show(size[2])} up.`;
}
