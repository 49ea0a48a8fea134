import { html, nothing } from "../../vendor/lit/index.js";
import { onDay } from "../state/actions.js";
import { cashBySource } from "../state/cash.js";
import { button } from "../ui/button.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { dayWords, moneyWords, toTheCent } from "../ui/words.js";
import "../ui/sheet.js";
import "./record-form.js";

/** @type {Record<import("../state/cash.js").CASH_FACTS[number], string>} */
const SOURCES = {
  setting: "At the start", cash_move: "Put in, less taken out", purchase: "Paid for pieces",
  expense: "Expenses", payment: "From buyers before the hand-over",
  sale: "From sales, less fees", return: "Given back, less fees you got back",
};
const WAYS = [{ value: "in", label: "Put in" }, { value: "out", label: "Taken out" }];

/** Cash put in or taken out apart from buying and selling, and what the cash figure is made of. */
export class LedgerCash extends ScreenElement {
  static properties = {
    ...ScreenElement.properties, open: { state: true }, shown: { state: true },
  };

  constructor() {
    super();
    /** @type {{record: any} | null} what is in the sheet; `{record: null}` writes a new one */
    this.open = null;
    /** whether the figure's parts are to be seen */
    this.shown = false;
  }

  render() {
    if (!this.household) return nothing;
    return html`<details class="more" @toggle=${(/** @type {Event} */ event) =>
        (this.shown = /** @type {HTMLDetailsElement} */ (event.target).open)}>
        <summary>Where the cash figure comes from</summary>
        ${this.shown ? this.parts() : nothing}</details>
      ${this.sheet()}`;
  }

  parts() {
    const sources = cashBySource(this.household);
    const sum = sources.reduce((total, { amount }) => total + amount, 0);
    const moves = [...this.household.all("cash_move")].sort((a, b) => (a.at < b.at ? 1 : -1));
    return html`<div class="stack tight">
      <dl class="facts">
        ${sources.map(({ fact, amount }) => html`<dt>${SOURCES[fact]}</dt>
          <dd class="figure">${toTheCent(amount)}</dd>`)}
        <dt><strong>Cash</strong></dt><dd class="figure"><strong>${toTheCent(sum)}</strong></dd>
      </dl>
      <p class="note">What should be in the box and on the account together, if everything is
        written down. Does it differ? Put the difference in or take it out here, with a note.</p>
      ${moves.length ? html`<ul class="rows" role="list">${moves.map((move) => html`<li>
        <button type="button" class="row row-button" @click=${() => (this.open = { record: move })}>
          <span class="row-text"><span class="row-title">${move.amount < 0 ? "Taken out" : "Put in"}
            ${moneyWords(Math.abs(move.amount))}</span>
            <span class="note">${dayWords(move.on, this.household.today())}${move.note
              ? ` · ${move.note}` : ""}</span></span></button></li>`)}</ul>` : nothing}
      <div class="cluster">${button({ label: "Cash put in or taken out", icon: "cash",
        onClick: () => (this.open = { record: null }) })}</div>
    </div>`;
  }

  sheet() {
    const close = () => (this.open = null);
    const record = this.open?.record ?? null;
    return html`<crest-sheet .open=${this.open !== null} heading="Cash put in or taken out"
      @close=${close} .content=${this.open ? this.form(record, close) : nothing}></crest-sheet>`;
  }

  /** @param {any} record @param {() => void} close */
  form(record, close) {
    const { household } = this;
    const shown = record ? { ...record, ...unsigned(record) } : null;
    return html`<record-form recordType="cash_move" .household=${household} .record=${shown}
        .fields=${FIELDS} .preset=${{ ...household.when(), way: "in" }}
        .complete=${(/** @type {any} */ fields) => signed(household, fields)}
        .adjust=${(/** @type {any} */ typed) =>
          signed(household, { on: record?.on, ...unsigned(record), ...typed })}
        @closed=${close} @saved=${(/** @type {CustomEvent} */ event) =>
          this.said("Saved on this phone.", event.detail)}></record-form>
      ${record ? button({ label: "It did not happen", kind: "danger",
        onClick: () => this.take(record) }) : nothing}`;
  }

  /** @param {any} record */
  async take({ id }) {
    const fields = { deleted: true };
    this.said("Taken out of the books.",
      await this.household.write([{ type: "cash_move", id, fields }]));
  }

  /** @param {string} text @param {{undo: () => unknown}} written */
  said(text, { undo }) {
    showToast({ text, undo });
    this.open = null;
  }
}

/** @type {import("./record-form.js").FormField[]} */
const FIELDS = [
  { name: "way", label: "Which way", as: "choice", options: WAYS },
  { name: "amount", label: "Amount", as: "money" },
  { name: "on", label: "Day", as: "date" },
  { name: "note", label: "What for", as: "text", hint: "change for the sale, pocket money" },
];

/** @param {any} record */
function unsigned(record) {
  return record ? { way: record.amount < 0 ? "out" : "in", amount: Math.abs(record.amount) } : {};
}

/**
 * What is written: the amount with its sign, the day with its moment.
 * @param {any} household
 * @param {Record<string, any>} typed
 */
function signed(household, { way, amount, on, ...rest }) {
  const size = amount === null || amount === undefined ? null : Math.abs(amount);
  return {
    ...rest, ...(on ? onDay(household, on) : {}), amount: way === "out" && size ? -size : size,
  };
}

customElements.define("ledger-cash", LedgerCash);
