import { LitElement, html } from "../../vendor/lit/index.js";
import { icon } from "./icons.js";
import { moneyWords } from "./words.js";

const DIGITS = ["1", "2", "3", "4", "5", "6", "7", "8", "9"];

/**
 * Our own number pad for the money input that is being typed into. It never takes the focus: the
 * keys work on `target`, a `crest-money-input`, whose real input stays focused. Hosted by the
 * shell's dock and by sheets, which catch the `pad-open` and `pad-close` events of the inputs.
 */
export class CrestNumberPad extends LitElement {
  static properties = { target: { attribute: false } };

  constructor() {
    super();
    /** @type {import("./money-input.js").CrestMoneyInput | null} */
    this.target = null;
  }

  createRenderRoot() {
    return this;
  }

  render() {
    if (!this.target) return html``;
    const step = this.target.step;
    const words = moneyWords(step);
    return html`<div class="pad" role="group" aria-label="Number pad"
      @pointerdown=${keepFocus}>
      <div class="pad-keys">
        ${DIGITS.slice(0, 3).map((d) => this.#key(d))}${this.#step(`+${words}`, step, "more")}
        ${DIGITS.slice(3, 6).map((d) => this.#key(d))}${this.#step(`−${words}`, -step, "less")}
        ${DIGITS.slice(6, 9).map((d) => this.#key(d))}
        <button type="button" class="button" aria-label="Delete the last digit"
          @click=${() => this.target?.press("back")}>${icon("backspace")}</button>
        ${this.#key(".", "Point")}${this.#key("0")}
        <button type="button" class="button word"
          @click=${() => this.target?.press("clear")}>Clear</button>
        <button type="button" class="button go word"
          @click=${() => this.target?.done()}>Done</button>
      </div>
    </div>`;
  }

  /** @param {string} key @param {string} [label] */
  #key(key, label) {
    return html`<button type="button" class="button" aria-label=${label ?? key}
      @click=${() => this.target?.press(key)}>${key}</button>`;
  }

  /** @param {string} words @param {number} step @param {string} way */
  #step(words, step, way) {
    return html`<button type="button" class="button word"
      aria-label="${moneyWords(Math.abs(step))} ${way}"
      @click=${() => this.target?.stepBy(step)}>${words}</button>`;
  }
}

/** @param {Event} event */
function keepFocus(event) {
  event.preventDefault();
}

customElements.define("crest-number-pad", CrestNumberPad);
