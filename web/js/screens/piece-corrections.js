import { html, nothing } from "../../vendor/lit/index.js";
import { onDay } from "../state/actions.js";
import { sameRecords, sayDifferent } from "../state/dividing.js";
import { button } from "../ui/button.js";
import { notice } from "../ui/card.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { dayWords, minutesWords, moneyWords } from "../ui/words.js";
import "../ui/sheet.js";
import "./piece-dividing.js";
import "./piece-same.js";
import { pieceName } from "./piece-words.js";
import "./record-form.js";

/** @typedef {import("../state/pieces.js").PieceView} PieceView */
/** @typedef {{type: string, record: any, words: string}} Fact */

/** @type {Record<string, import("./record-form.js").FormField[]>} */
const FIELDS = {
  purchase: [
    { name: "total", label: "Paid, for all of it", as: "money" },
    { name: "extra_costs", label: "Costs of buying (fuel, hire)", as: "money" },
    { name: "on", label: "Day", as: "date" },
    { name: "payer", label: "Who paid", as: "text" },
  ],
  sale: [
    { name: "price", label: "Price", as: "money" },
    { name: "fee", label: "Fee", as: "money" },
    { name: "delivery_charged", label: "Paid for bringing it", as: "money" },
    { name: "on", label: "Day", as: "date" },
    { name: "buyer", label: "To whom (first name)", as: "text" },
  ],
  stint: [
    { name: "minutes", label: "Minutes", as: "int" },
    { name: "who", label: "Who worked", as: "text" },
    { name: "note", label: "Note", as: "text" },
  ],
};

/** @type {Record<string, string>} */
const VOID_WORDS = {
  sale: "Void this sale", purchase: "It was not bought", stint: "This work was not done",
};

/** A set that is still together and ours can be divided. */
const WHOLE = ["to_fetch", "bought", "in_work", "ready", "listed", "on_hold"];

/** What was written down wrong: money and minutes, one record for two pieces, two for one. */
export class PieceCorrections extends ScreenElement {
  static properties = {
    ...ScreenElement.properties, view: { attribute: false }, open: { state: true },
    shape: { state: true },
  };

  constructor() {
    super();
    /** @type {PieceView | null} */
    this.view = null;
    /** @type {Fact | null} */
    this.open = null;
    /** @type {"" | "split" | "same"} which other sheet is open */
    this.shape = "";
  }

  /** @returns {Fact[]} what can be put right about this piece, newest first */
  facts() {
    const { household } = this;
    const piece = /** @type {PieceView} */ (this.view).piece;
    const purchase = piece.purchase_id ? household.get("purchase", piece.purchase_id) : null;
    const today = household.today();
    return [
      ...household.where("sale", "piece_id", piece.id).map((/** @type {any} */ record) => ({
        type: "sale", record,
        words: `Sold for ${moneyWords(record.price)}, ${dayWords(record.on, today)}`,
      })),
      ...household.where("stint", "piece_ids", piece.id)
        .filter((/** @type {any} */ record) => record.stopped_at || record.minutes)
        .map((/** @type {any} */ record) => ({
          type: "stint", record,
          words: `${minutesWords(record.minutes)} of work, ${dayWords(record.on, today)}`,
        })),
      ...(purchase ? [{
        type: "purchase", record: purchase,
        words: `Bought for ${moneyWords(purchase.total)}, ${dayWords(purchase.on, today)}`,
      }] : []),
    ];
  }

  render() {
    if (!this.view || !this.household) return nothing;
    const facts = this.facts();
    return html`${this.same()}
      ${facts.length ? html`<details class="more"><summary>Put money or minutes right</summary>
        <ul class="rows" role="list">${facts.map((fact) => html`<li>
          <button type="button" class="row row-button" @click=${() => (this.open = fact)}>
            <span class="row-text"><span class="row-title">${fact.words}</span></span></button>
        </li>`)}</ul></details>` : nothing}
      ${this.shapes()}
      ${this.sheet()}`;
  }

  /** Which other records say the same piece. */
  same() {
    const { piece } = /** @type {PieceView} */ (this.view);
    const { survivor, others } = sameRecords(this.household, piece.id);
    if (!others.length) return nothing;
    const [title, ways] = survivor
      ? ["The same piece is written down twice", [survivor]]
      : ["This record stands for others of the same piece", others];
    return notice({
      level: "note", title, text: html`
        <p>${survivor ? "What counts stands there: " : "They are kept: "}
          ${ways.map((one, i) => html`${i ? ", " : nothing}<a href="#/pieces/${one.id}">${
            pieceName(this.household, one)}</a>`)}</p>
        ${button({ label: "They are different pieces", kind: "quiet",
          onClick: () => this.apart(piece.id) })}`,
    });
  }

  /** @param {string} id */
  async apart(id) {
    this.said("They are different pieces again.", await sayDifferent(this.household, id));
  }

  /** One record that is two pieces, two records that are one. */
  shapes() {
    const { piece, stage } = /** @type {PieceView} */ (this.view);
    const close = () => (this.shape = "");
    const whole = (piece.count ?? 1) > 1 && WHOLE.includes(stage);
    return html`<details class="more"><summary>Divide it, or join two records</summary>
        <div class="cluster">
          ${whole ? button({ label: "Split off some of these", onClick: () => (this.shape = "split") })
            : nothing}
          ${stage === "duplicate" ? nothing
            : button({ label: "Same piece as …", onClick: () => (this.shape = "same") })}
        </div></details>
      <crest-sheet .open=${this.shape === "split"} heading="Split off some of these" @close=${close}
        .content=${this.shape === "split" ? html`<piece-dividing .household=${this.household}
          .piece=${piece} @closed=${close}></piece-dividing>` : nothing}></crest-sheet>
      <crest-sheet .open=${this.shape === "same"} heading="Same piece as …" @close=${close}
        .content=${this.shape === "same" ? html`<piece-same .household=${this.household}
          .view=${this.view} @closed=${close}></piece-same>` : nothing}></crest-sheet>`;
  }

  sheet() {
    const { open, household } = this;
    const close = () => (this.open = null);
    return html`<crest-sheet .open=${open !== null} heading="Put it right" @close=${close}
      .content=${open ? html`<record-form recordType=${open.type} .household=${household}
        .record=${open.record} .fields=${FIELDS[open.type]}
        .adjust=${(/** @type {any} */ typed) => dated(household, typed)} @closed=${close}
        @saved=${(/** @type {CustomEvent} */ event) => this.said("Put right.", event.detail)}
        ></record-form>
        ${button({ label: VOID_WORDS[open.type], kind: "danger", onClick: () => this.take(open) })}`
        : nothing}></crest-sheet>`;
  }

  /** @param {Fact} fact */
  async take({ type, record }) {
    const written = await this.household.write([
      { type, id: record.id, fields: { deleted: true } },
    ]);
    this.said("Taken out of the books. A receipt keeps its number.", written);
  }

  /** @param {string} text @param {{undo: () => unknown}} written */
  said(text, { undo }) {
    showToast({ text, undo });
    this.open = null;
  }
}

/**
 * A day that was changed takes its moment along.
 * @param {any} household
 * @param {Record<string, any>} typed
 */
function dated(household, typed) {
  return typed.on ? { ...typed, ...onDay(household, typed.on) } : typed;
}

customElements.define("piece-corrections", PieceCorrections);
