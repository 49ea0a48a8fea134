import { html } from "../../vendor/lit/index.js";
import { live } from "../../vendor/lit/directives/live.js";
import { icon } from "./icons.js";

/**
 * A small whole number with "one less" and "one more"; the number itself may be typed.
 * @param {object} look
 * @param {string} look.label
 * @param {number} look.value
 * @param {number} look.min
 * @param {number} look.max
 * @param {(value: number) => void} look.onChange
 */
export function stepper({ label, value, min, max, onChange }) {
  const set = (/** @type {number} */ wanted) => onChange(Math.min(max, Math.max(min, wanted)));
  const typed = (/** @type {Event} */ event) => {
    const input = /** @type {HTMLInputElement} */ (event.target);
    set(Number.parseInt(input.value, 10) || min);
  };
  // what is being typed counts at once, so that a screen drawn anew meanwhile does not take it back
  const typing = (/** @type {Event} */ event) => {
    const wanted = Number(/** @type {HTMLInputElement} */ (event.target).value || NaN);
    if (Number.isInteger(wanted) && wanted >= min && wanted <= max) onChange(wanted);
  };
  return html`<div class="stepper" role="group" aria-label=${label}>
    <button type="button" class="button" aria-label="One less" ?disabled=${value <= min}
      @click=${() => set(value - 1)}>${icon("minus")}</button>
    <input type="number" inputmode="numeric" aria-label=${label} min=${min} max=${max}
      .value=${live(String(value))} @input=${typing} @change=${typed} />
    <button type="button" class="button" aria-label="One more" ?disabled=${value >= max}
      @click=${() => set(value + 1)}>${icon("plus")}</button>
  </div>`;
}
