import { html, nothing } from "../../vendor/lit/index.js";
import { live } from "../../vendor/lit/directives/live.js";

/**
 * @typedef {object} ChipOption
 * @property {string} value
 * @property {string} label
 * @property {string} [hint] said after the label in small type: "15 min"
 */

/**
 * A choice of exactly one: round chips, radio buttons inside.
 * @param {object} choice
 * @param {string} choice.name unique on the page
 * @param {string} choice.legend
 * @param {ChipOption[]} choice.options
 * @param {string | null} choice.value
 * @param {(value: string) => void} choice.onChange
 * @param {unknown} [choice.after] further controls in the same row, such as "More"
 */
export function radioChips({ name, legend, options, value, onChange, after }) {
  return html`<fieldset class="chips">
    <legend>${legend}</legend>
    <div class="chip-row">
      ${options.map((option) => html`<label class="chip one">
        <input
          type="radio"
          class="chip-input"
          name=${name}
          value=${option.value}
          .checked=${live(option.value === value)}
          @change=${() => onChange(option.value)}
        />${words(option)}</label>`)}
      ${after ?? nothing}
    </div>
  </fieldset>`;
}

/**
 * A choice of any number: square chips with a tick, checkboxes inside.
 * @param {object} choice
 * @param {string} choice.legend
 * @param {ChipOption[]} choice.options
 * @param {readonly string[]} choice.values the chosen ones
 * @param {(values: string[]) => void} choice.onChange called with all chosen, in the options' order
 * @param {unknown} [choice.after] further controls in the same row, such as "More"
 */
export function checkChips({ legend, options, values, onChange, after }) {
  return html`<fieldset class="chips">
    <legend>${legend}</legend>
    <div class="chip-row">
      ${options.map((option) => html`<label class="chip">
        <input
          type="checkbox"
          class="chip-input"
          value=${option.value}
          .checked=${live(values.includes(option.value))}
          @change=${() => onChange(toggled(values, option.value))}
        />${words(option)}</label>`)}
      ${after ?? nothing}
    </div>
  </fieldset>`;
}

/**
 * The list with the value taken out, or put at its end.
 * @param {readonly string[]} values
 * @param {string} value
 */
export function toggled(values, value) {
  return values.includes(value) ? values.filter((v) => v !== value) : [...values, value];
}

/** @param {ChipOption} option */
function words({ label, hint }) {
  const more = hint ? html`<span class="chip-hint">${hint}</span>` : nothing;
  return html`<span>${label}</span>${more}`;
}
