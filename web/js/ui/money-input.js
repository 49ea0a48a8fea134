import { LitElement, html, nothing } from "../../vendor/lit/index.js";
import { live } from "../../vendor/lit/directives/live.js";
import { pressKey, readAmount, stepAmount, typedAmount } from "./amount.js";

/** How long the pad outlives the focus, in milliseconds. */
const LINGER = 80;

/** Whether a finger is down, or was until just now: its click comes a moment after it is lifted. */
let pressed = false;
let lifting = 0;
const lifted = () => (lifting = window.setTimeout(() => (pressed = false), LINGER));
window.addEventListener("pointerdown", () => {
  window.clearTimeout(lifting);
  pressed = true;
}, true);
window.addEventListener("pointerup", lifted, true);
window.addEventListener("pointercancel", lifted, true);

/**
 * An amount of money: a real input for keyboards and screen readers, and our own number pad for
 * thumbs (the system's keyboard stays away, so the answer stays in sight). Fires `amount` with
 * minor units or null in `detail`, and `pad-open` / `pad-close` for whoever hosts the pad.
 */
export class CrestMoneyInput extends LitElement {
  static properties = {
    value: { type: Number },
    inputId: { attribute: false },
    label: { type: String },
    step: { type: Number },
    described: { attribute: false },
    invalid: { type: Boolean },
    text: { state: true },
  };

  constructor() {
    super();
    /** @type {number | null} minor units */
    this.value = null;
    this.inputId = "";
    this.label = "";
    /** minor units of the pad's big steps */
    this.step = 500;
    /** @type {unknown} */
    this.described = nothing;
    this.invalid = false;
    /** @type {string} */
    this.text = "";
    this.fresh = true;
    this.padOpen = false;
    /** @type {number | undefined} */
    this.leaving = undefined;
  }

  createRenderRoot() {
    return this;
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    if (changed.has("value") && readAmount(this.text) !== this.value) {
      this.text = typedAmount(this.value);
    }
  }

  render() {
    return html`<div class="money-input">
      <span aria-hidden="true">$</span>
      <input id=${this.inputId || nothing} aria-label=${this.inputId ? nothing : this.label}
        inputmode="none" autocomplete="off" enterkeyhint="done"
        aria-describedby=${this.described} aria-invalid=${this.invalid ? "true" : nothing}
        .value=${live(this.text)} @input=${this.#typed} @keydown=${this.#keyed}
        @focus=${this.#open} @click=${this.#open} @blur=${this.#left} />
    </div>`;
  }

  /** The input itself. */
  get input() {
    return /** @type {HTMLInputElement} */ (this.querySelector("input"));
  }

  /**
   * A key of the number pad.
   * @param {string} key see `pressKey`
   */
  press(key) {
    this.#take(pressKey(this.text, key, this.fresh));
  }

  /**
   * A big step of the number pad.
   * @param {number} step minor units
   */
  stepBy(step) {
    this.#take(typedAmount(stepAmount(this.value, step)));
    this.fresh = true;
  }

  /** The person is done typing: the pad goes, the focus stays in reach. */
  done() {
    this.#close();
    this.dispatchEvent(new CustomEvent("amount-done", { bubbles: true }));
  }

  #typed() {
    const text = this.input.value;
    if (readAmount(text) === undefined) this.input.value = this.text;
    else this.#take(text);
  }

  /** @param {KeyboardEvent} event */
  #keyed(event) {
    const step = { ArrowUp: this.step, ArrowDown: -this.step }[event.key];
    if (step) {
      event.preventDefault();
      this.stepBy(step);
    } else if (event.key === "Enter" || event.key === "Escape") {
      if (event.key === "Escape" && !this.padOpen) return;
      event.preventDefault();
      event.stopPropagation();
      this.done();
    }
  }

  /** @param {string} text */
  #take(text) {
    this.text = text;
    this.fresh = false;
    const value = readAmount(text) ?? null;
    if (value === this.value) return;
    this.value = value;
    this.dispatchEvent(new CustomEvent("amount", { detail: value, bubbles: true }));
  }

  #open() {
    window.clearTimeout(this.leaving);
    if (this.padOpen) return;
    this.padOpen = true;
    this.fresh = true;
    this.input.select();
    this.dispatchEvent(new CustomEvent("pad-open", { bubbles: true }));
    window.requestAnimationFrame(() => this.scrollIntoView({ block: "nearest" }));
  }

  /**
   * The focus went elsewhere. The pad stays until that tap or click is over: were it to go at once,
   * everything would move under the finger and the tap would miss.
   */
  #left() {
    this.leaving = window.setTimeout(() => (pressed ? this.#left() : this.#close()), LINGER);
  }

  #close() {
    window.clearTimeout(this.leaving);
    if (!this.padOpen) return;
    this.padOpen = false;
    this.dispatchEvent(new CustomEvent("pad-close", { bubbles: true }));
  }
}

customElements.define("crest-money-input", CrestMoneyInput);
