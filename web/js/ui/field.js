import { html, nothing } from "../../vendor/lit/index.js";
import { live } from "../../vendor/lit/directives/live.js";
import { icon } from "./icons.js";
import "./money-input.js";

/**
 * @typedef {object} FieldLook
 * @property {string} id unique on the page
 * @property {string} label
 * @property {string} [hint] what to put in, said before any mistake
 * @property {string} [error] what is wrong and how to cure it; what was typed stays
 */

/**
 * @typedef {object} TextLook
 * @property {string} value
 * @property {(value: string) => void} onInput
 * @property {"text" | "search" | "tel" | "email" | "number" | "date" | "time" | "datetime-local"}
 *   [type]
 * @property {boolean} [multiline]
 * @property {number} [maxlength]
 * @property {string} [autocomplete]
 * @property {string} [inputmode]
 * @property {string} [placeholder]
 */

/**
 * Label, hint, the control and its error in one column.
 * @param {FieldLook} look
 * @param {unknown} control must carry `id` and `describedBy(look)`
 */
export function field(look, control) {
  return html`<div class="field">
    <label for=${look.id}>${look.label}</label>
    ${look.hint ? html`<p class="field-hint" id="${look.id}-hint">${look.hint}</p>` : nothing}
    ${control}
    ${look.error
      ? html`<p class="field-error" id="${look.id}-error">${icon("warn")}
          <span>${look.error}</span></p>`
      : nothing}
  </div>`;
}

/**
 * The ids of hint and error, for `aria-describedby`.
 * @param {FieldLook} look
 */
export function describedBy({ id, hint, error }) {
  const ids = [hint ? `${id}-hint` : "", error ? `${id}-error` : ""].filter(Boolean);
  return ids.length ? ids.join(" ") : nothing;
}

/**
 * A field for text, dates and times.
 * @param {FieldLook & TextLook} look
 */
export function textField(look) {
  const typed = (/** @type {Event} */ event) =>
    look.onInput(/** @type {HTMLInputElement} */ (event.target).value);
  const invalid = look.error ? "true" : nothing;
  return field(look, look.multiline
    ? html`<textarea class="input" id=${look.id} aria-describedby=${describedBy(look)}
        aria-invalid=${invalid} maxlength=${look.maxlength ?? nothing}
        .value=${live(look.value)} @input=${typed}></textarea>`
    : html`<input class="input" id=${look.id} type=${look.type ?? "text"}
        aria-describedby=${describedBy(look)} aria-invalid=${invalid}
        maxlength=${look.maxlength ?? nothing} autocomplete=${look.autocomplete ?? "off"}
        inputmode=${look.inputmode ?? nothing} placeholder=${look.placeholder ?? nothing}
        .value=${live(look.value)} @input=${typed} />`);
}

/**
 * A field that takes one of a list.
 * @param {FieldLook & {value: string, options: import("./chips.js").ChipOption[],
 *   onChange: (value: string) => void}} look
 */
export function selectField(look) {
  const chosen = (/** @type {Event} */ event) =>
    look.onChange(/** @type {HTMLSelectElement} */ (event.target).value);
  return field(look, html`<select class="input" id=${look.id}
    aria-describedby=${describedBy(look)} aria-invalid=${look.error ? "true" : nothing}
    @change=${chosen}>
    ${look.options.map((option) => html`<option value=${option.value}
      .selected=${live(option.value === look.value)}>${option.label}</option>`)}
  </select>`);
}

/**
 * A field for an amount, with the own number pad.
 * @param {FieldLook & {value: number | null, onInput: (minor: number | null) => void,
 *   step?: number}} look amounts in minor units
 */
export function moneyField(look) {
  return field(look, html`<crest-money-input .inputId=${look.id} .label=${look.label}
    .value=${look.value} .step=${look.step ?? 500} .described=${describedBy(look)}
    .invalid=${Boolean(look.error)}
    @amount=${(/** @type {CustomEvent} */ event) => look.onInput(event.detail)}
  ></crest-money-input>`);
}
