import { LitElement, html, nothing } from "../../vendor/lit/index.js";
import { button } from "../ui/button.js";
import { notice } from "../ui/card.js";
import { moneyField, textField } from "../ui/field.js";
import { moneyWords } from "../ui/words.js";
import "../ui/sheet.js";

/**
 * @typedef {object} Bought what was agreed
 * @property {number} paid minor units
 * @property {{by: Date | null, where: string} | null} fetch null: it is in the car
 */

/**
 * "What did you pay?": one field, filled with their ask, the number pad open under it. Their ask
 * and what was paid are kept apart. Fires `bought` with a `Bought`, and `close`.
 */
export class SaleBought extends LitElement {
  static properties = {
    open: { type: Boolean },
    ask: { type: Number },
    most: { type: Number },
    paid: { state: true },
    fetching: { state: true },
    wrong: { state: true },
  };

  constructor() {
    super();
    this.open = false;
    /** @type {number | null} */
    this.ask = null;
    /** @type {number | null} the most to pay, null when not known */
    this.most = null;
    /** @type {number | null} */
    this.paid = null;
    /** @type {{by: string, where: string} | null} */
    this.fetching = null;
    this.wrong = "";
  }

  createRenderRoot() {
    return this;
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    if (!changed.has("open") || !this.open) return;
    this.paid = this.ask;
    this.fetching = null;
    this.wrong = "";
  }

  /** @param {Map<string, unknown>} changed */
  async updated(changed) {
    if (!changed.has("open") || !this.open) return;
    await /** @type {any} */ (this.querySelector("crest-sheet")).updateComplete;
    /** @type {HTMLInputElement | null} */ (this.querySelector("#paid"))?.focus();
  }

  render() {
    return html`<crest-sheet .open=${this.open} .heading=${"What did you pay?"}
      .content=${this.open ? this.#content() : nothing} .foot=${this.#foot()}
      @close=${() => this.dispatchEvent(new CustomEvent("close"))}></crest-sheet>`;
  }

  #content() {
    const over = this.most !== null && this.paid !== null ? this.paid - this.most : 0;
    return html`
      ${moneyField({ id: "paid", label: "Paid", value: this.paid, error: this.wrong,
        hint: this.ask === null ? undefined : `They asked ${moneyWords(this.ask)}.`,
        onInput: (paid) => {
          this.paid = paid;
          this.wrong = "";
        } })}
      ${over > 0
        ? notice({ level: "warn", title: `${moneyWords(over)} over the most to pay` }) : nothing}
      <label class="switch"><input type="checkbox" .checked=${this.fetching !== null}
        @change=${() => (this.fetching = this.fetching ? null : { by: "", where: "" })} />
        <span>I fetch it later</span></label>
      ${this.fetching ? this.#when(this.fetching) : nothing}`;
  }

  /** @param {{by: string, where: string}} fetching */
  #when({ by, where }) {
    return html`<div class="columns">
      ${textField({ id: "fetch-by", label: "By when", type: "datetime-local", value: by,
        onInput: (text) => (this.fetching = { by: text, where }) })}
      ${textField({ id: "fetch-where", label: "Where", value: where, maxlength: 300,
        onInput: (text) => (this.fetching = { by, where: text }) })}
    </div>`;
  }

  #foot() {
    return html`
      ${button({ label: "It was free", onClick: () => this.#done(0) })}
      ${button({ label: "Save as bought", kind: "go", onClick: () => this.#done(this.paid) })}`;
  }

  /** @param {number | null} paid */
  #done(paid) {
    if (paid === null) {
      this.wrong = "Put in what you paid, or say that it was free.";
      return;
    }
    const by = this.fetching?.by ? new Date(this.fetching.by) : null;
    const fetch = this.fetching ? { by, where: this.fetching.where.trim() } : null;
    this.dispatchEvent(new CustomEvent("bought", { detail: { paid, fetch } }));
  }
}

customElements.define("sale-bought", SaleBought);
