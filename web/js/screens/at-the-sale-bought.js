import { LitElement, html, nothing } from "../../vendor/lit/index.js";
import { button } from "../ui/button.js";
import { askedFor, sharesOf } from "../state/lot-shares.js";
import { notice } from "../ui/card.js";
import { moneyField, textField } from "../ui/field.js";
import { moneyWords } from "../ui/words.js";
import { furtherFinds, lookAgain, lotOf, lotPart, splitList, togetherFold } from "./at-the-sale-together.js";
import "../ui/sheet.js";

/** @typedef {import("../state/finds.js").Look} Look */

/**
 * "What did you pay?": one field, filled with their ask, the number pad open under it. Their ask
 * and what was paid are kept apart. The money may be for further finds of today as well. Fires
 * `bought` with the `Terms` of `state/finds.js`, and `close`.
 */
export class SaleBought extends LitElement {
  static properties = {
    open: { type: Boolean },
    household: { attribute: false },
    look: { attribute: false },
    covered: { type: Boolean },
    chosen: { state: true },
    paid: { state: true },
    fetching: { state: true },
    wrong: { state: true },
  };

  constructor() {
    super();
    this.open = false;
    /** @type {any} */
    this.household = null;
    /** @type {Look | null} */
    this.look = null;
    this.covered = false;
    /** @type {string[]} ids of further finds */
    this.chosen = [];
    /** The id of the piece if the find has none yet: cents left over go by it. */
    this.fresh = "";
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
    this.chosen = [];
    this.fresh = this.household.newId();
    this.paid = askedFor(this.#looks());
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

  /** @returns {Look[]} the find and those ticked with it */
  #looks() {
    if (!this.look) return [];
    const chosen = this.#further().filter(({ id }) => this.chosen.includes(id));
    return [this.look, ...chosen.map((piece) => lookAgain(this.household, piece))];
  }

  #further() {
    return furtherFinds(this.household, this.look?.find.id ?? null);
  }

  /** An amount that was not typed over follows what they ask. @param {string[]} chosen */
  #choose(chosen) {
    const untouched = this.paid === askedFor(this.#looks());
    this.chosen = chosen;
    if (untouched) this.paid = askedFor(this.#looks());
  }

  #content() {
    const looks = this.#looks();
    const together = looks.length > 1;
    const said = this.covered ? null : lotOf(this.household, looks, this.paid);
    const [ask, lot] = [askedFor(looks), said?.ok ? said : null];
    const over = lot && this.paid !== null ? this.paid - mostFor(looks, lot) : 0;
    const all = together ? ` for all ${looks.length}` : "";
    return html`
      ${moneyField({ id: "paid", label: `Paid${all}`, value: this.paid, error: this.wrong,
        hint: ask === null ? undefined : `They asked ${moneyWords(ask)}${together
          ? ", one by one" : ""}.`,
        onInput: (paid) => {
          this.paid = paid;
          this.wrong = "";
        } })}
      ${over > 0
        ? notice({ level: "warn", title: `${moneyWords(over)} over the most to pay` }) : nothing}
      ${togetherFold({
        household: this.household,
        finds: this.#further(),
        chosen: this.chosen,
        onChange: (chosen) => this.#choose(chosen),
      })}
      ${together && lot ? lotPart(lot, looks) : nothing}
      ${together && this.paid !== null ? this.#split(looks, this.paid, lot) : nothing}
      <label class="switch"><input type="checkbox" .checked=${this.fetching !== null}
        @change=${() => (this.fetching = this.fetching ? null : { by: "", where: "" })} />
        <span>I fetch it later</span></label>
      ${this.fetching ? this.#when(this.fetching) : nothing}`;
  }

  /**
   * @param {Look[]} looks
   * @param {number} paid
   * @param {import("./at-the-sale-together.js").LotAnswer | null} lot
   */
  #split(looks, paid, lot) {
    const ids = looks.map(({ find }) => find.id ?? this.fresh);
    return splitList(this.household, looks, sharesOf(looks, ids, paid), lot);
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
    const [, ...together] = this.#looks();
    const detail = { paid, fetch, together, id: this.fresh };
    this.dispatchEvent(new CustomEvent("bought", { detail }));
  }
}

/**
 * The most to pay: of one find as its card says, of several as they are reckoned together.
 * @param {Look[]} looks
 * @param {import("./at-the-sale-together.js").LotAnswer} lot
 */
function mostFor([{ view }, ...others], lot) {
  return others.length || !view.answer.ok ? lot.most : view.answer.most;
}

customElements.define("sale-bought", SaleBought);
