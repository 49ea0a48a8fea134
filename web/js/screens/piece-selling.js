import { html, nothing } from "../../vendor/lit/index.js";
import { endPiece, markFetched } from "../state/actions.js";
import { agreedOn, dropPlan, plannedOf } from "../state/asking.js";
import { button } from "../ui/button.js";
import { notice } from "../ui/card.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { selectField } from "../ui/field.js";
import { ageWords, dayWords, moneyWords } from "../ui/words.js";
import "../ui/sheet.js";
import { comingDay } from "./asking-words.js";
import "./drop-due.js";
import "./piece-asking.js";
import "./piece-offer.js";
import "./piece-recalls.js";
import "./record-form.js";
import "./sell-form.js";
import { formsOf } from "./selling-forms.js";

/** @typedef {import("../state/pieces.js").PieceView} PieceView */

const ENDINGS = [
  { value: "", label: "Still for sale" }, { value: "kept", label: "Kept for ourselves" },
  { value: "given", label: "Given away" }, { value: "dumped", label: "Thrown out" },
  { value: "parts", label: "Taken apart for parts" }, { value: "lost", label: "Lost" },
];
const OURS = ["to_fetch", "bought", "in_work", "ready", "listed", "on_hold"];

/** Asking price, people who ask, offers, holds, the sale and what came back. */
export class PieceSelling extends ScreenElement {
  static properties = {
    ...ScreenElement.properties, view: { attribute: false }, todo: { type: String },
    open: { state: true }, answering: { state: true },
  };

  constructor() {
    super();
    /** @type {PieceView | null} */
    this.view = null;
    /** what the address asks to be done at once */
    this.todo = "";
    /** which sheet is open: "sell", "answer" or the name of a form */
    this.open = "";
    /** the id of the offer that is being answered */
    this.answering = "";
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    super.willUpdate(changed);
    if (changed.has("todo")) {
      this.open = { list: "asking_price", sell: "sell" }[this.todo] ?? "";
    }
  }

  render() {
    if (!this.view) return nothing;
    const { stage, sale } = this.view;
    if (sale) return html`${this.sold(sale)}${this.sheet()}`;
    if (stage === "kept" || stage === "let_go") return this.ending();
    if (!OURS.includes(stage)) return nothing;
    return html`<section class="stack tight">
      <h2>Selling</h2>
      ${this.standing()}
      ${this.people()}
      <div class="cluster">
        ${button({ label: "Sold", icon: "cash", kind: "go", onClick: () => (this.open = "sell") })}
        ${stage === "to_fetch" ? button({ label: "Fetched", icon: "car", onClick: () => this.fetched() }) : nothing}
        ${["asking_price", "inquiry", "offer", "hold", "payment"].map((name) => button({
          label: formsOf(this.household, name).button, onClick: () => (this.open = name),
        }))}
      </div>
      ${this.ending()}
      ${this.sheet()}
    </section>`;
  }

  /** It leaves without a sale, or comes back into stock. */
  ending() {
    const { piece } = /** @type {PieceView} */ (this.view);
    const value = piece.kept_at ? "kept" : piece.let_go_at ? piece.let_go_how ?? "given" : "";
    return selectField({
      id: `ending-${piece.id}`, label: "Leaves without a sale", value, options: ENDINGS,
      onChange: async (how) => {
        const { undo } = await endPiece(this.household, piece.id, /** @type {""} */ (how));
        showToast({ text: "Written down.", undo });
      },
    });
  }

  standing() {
    const { asking, hold } = /** @type {PieceView} */ (this.view);
    return html`
      ${asking ? html`<p>Listed at <strong>${moneyWords(asking.amount)}</strong>
        <span class="note">since ${dayWords(asking.from_on, this.household.today())}</span></p>` : nothing}
      ${this.drops()}
      ${hold
        ? notice({
            level: "warn", title: `Promised to ${hold.name || "a buyer"} until ${this.untilWords(hold)}`,
            text: html`${hold.terms ?? ""} ${button({
              label: "Release it", kind: "quiet",
              onClick: () => this.write("hold", hold.id, { released_at: this.household.when().at }, "The piece is free again."),
            })}`,
          })
        : nothing}`;
  }

  /** The drop that is due, and those to come. */
  drops() {
    const view = /** @type {PieceView} */ (this.view);
    const today = this.household.today();
    const later = plannedOf(this.household, view.piece)
      .filter((/** @type {any} */ drop) => drop.from_on > today);
    const next = later.map((/** @type {any} */ drop) =>
      `${moneyWords(drop.amount)} from ${comingDay(drop.from_on, today)}`);
    return html`<drop-due .household=${this.household} .view=${view}></drop-due>
      ${next.length ? html`<div class="spread"><p>Then ${next.join(", ")}</p>
        ${button({ label: "Give up the plan", kind: "quiet", onClick: () => this.giveUp() })}</div>` : nothing}`;
  }

  async giveUp() {
    const { piece } = /** @type {PieceView} */ (this.view);
    const { undo } = await dropPlan(this.household, piece);
    showToast({ text: "The planned drops are given up.", undo });
  }

  /** @param {any} hold */
  untilWords(hold) {
    const until = new Date(hold.until_at);
    return `${dayWords(this.household.dayOf(until), this.household.today())}, ${until.toLocaleTimeString([], {
      hour: "numeric", minute: "2-digit",
    })}`;
  }

  people() {
    const { piece } = /** @type {PieceView} */ (this.view);
    const now = this.household.now();
    const inquiries = this.household.where("inquiry", "piece_id", piece.id);
    const offers = this.household.where("offer", "piece_id", piece.id);
    if (!inquiries.length && !offers.length) return nothing;
    return html`<ul class="rows" role="list">
      ${inquiries.map((/** @type {any} */ i) => html`<li class="story-event">
        <span class="note">${ageWords(i.at, now)}</span>
        <span>${i.name || "Somebody"} asked <span class="note">${i.note ?? ""}</span></span></li>`)}
      ${offers.map((/** @type {any} */ o) => html`<li class="story-event">
        <span class="note">${ageWords(o.at, now)}</span>
        <span>Offer of ${moneyWords(o.amount)}${saidTo(o)}
          ${o.answer && o.answer !== "countered" ? nothing : this.answers(o)}</span></li>`)}
    </ul>`;
  }

  /** @param {any} offer */
  answers(offer) {
    return button({ label: "What to say", onClick: () => this.answer(offer.id) });
  }

  /** @param {string} id of an offer */
  answer(id) {
    this.answering = id;
    this.open = "answer";
  }

  /** @param {any} sale */
  sold(sale) {
    return html`<section class="stack tight">
      <h2>Sold</h2>
      <dl class="facts">
        <dt>Price</dt><dd class="figure">${moneyWords(sale.price)}</dd>
        <dt>Fee</dt><dd class="figure">${moneyWords(sale.fee ?? 0)}</dd>
        ${sale.delivery_charged
          ? html`<dt>Delivery charged</dt><dd class="figure">${moneyWords(sale.delivery_charged)}</dd>` : nothing}
        <dt>Handed over</dt><dd>${sale.handed_over_at
          ? dayWords(this.household.dayOf(new Date(sale.handed_over_at)), this.household.today()) : "not yet"}</dd>
        <dt>Receipt</dt><dd class="code">${sale.receipt ?? "none"}</dd>
      </dl>
      <div class="cluster">
        ${sale.handed_over_at ? nothing : button({
          label: "Handed over", kind: "go",
          onClick: () => this.write("sale", sale.id, { handed_over_at: this.household.when().at }, "Handed over."),
        })}
        ${button({ label: "It came back", icon: "undo", onClick: () => (this.open = "return") })}
      </div>
    </section>`;
  }

  sheet() {
    const { piece, sale } = /** @type {PieceView} */ (this.view);
    const { open } = this;
    const close = () => {
      if (this.open === open) this.open = "";
    };
    const whole = { sell: this.selling, answer: this.offering, asking_price: this.asking }[open];
    if (whole) return whole.call(this, close);
    const form = open ? formsOf(this.household, open, { piece, sale }) : null;
    return html`<crest-sheet .open=${form !== null} heading=${form?.title ?? ""} @close=${close}
      .content=${form ? html`<record-form recordType=${open} .household=${this.household}
        .fields=${form.fields} .preset=${form.preset} .complete=${form.complete ?? same} @closed=${close}
        @saved=${(/** @type {CustomEvent} */ event) => {
          showToast({ text: form.done, undo: event.detail.undo });
          close();
          if (open === "offer") this.answer(event.detail.ids[0]);
        }}></record-form>` : nothing}></crest-sheet>`;
  }

  /** @param {() => void} close */
  selling(close) {
    const { piece, asking } = /** @type {PieceView} */ (this.view);
    const price = agreedOn(this.household, piece.id) ?? asking?.amount ?? null;
    return html`<crest-sheet .open=${true} heading="Sold" @close=${close}
      .content=${html`<sell-form .household=${this.household} piece=${piece.id}
        .asking=${price} @closed=${close}></sell-form>`}></crest-sheet>`;
  }

  /** @param {() => void} close */
  asking(close) {
    return html`<crest-sheet .open=${true} heading="What to ask" @close=${close}
      .content=${html`<piece-recalls .household=${this.household} .piece=${this.view?.piece}
        .content=${html`<piece-asking .household=${this.household} .view=${this.view}
          @closed=${close}></piece-asking>`}></piece-recalls>`}></crest-sheet>`;
  }

  /** @param {() => void} close */
  offering(close) {
    const offer = this.household.get("offer", this.answering);
    if (!offer) return nothing;
    return html`<crest-sheet .open=${true} heading="An offer of ${moneyWords(offer.amount)}" @close=${close}
      .content=${html`<piece-offer .household=${this.household} .view=${this.view} .offer=${offer}
        @closed=${close} @agreed=${(/** @type {CustomEvent} */ event) => (this.open = event.detail)}
        ></piece-offer>`}></crest-sheet>`;
  }

  /** @param {string} type @param {string} id @param {Record<string, any>} fields @param {string} text */
  async write(type, id, fields, text) {
    const { undo } = await this.household.write([{ type, id, fields }]);
    showToast({ text, undo });
  }

  async fetched() {
    const { piece } = /** @type {PieceView} */ (this.view);
    const { undo } = await markFetched(this.household, piece.purchase_id);
    showToast({ text: "It is here now.", undo });
  }
}

/** @param {any} offer */
function saidTo({ answer, counter }) {
  if (!answer) return "";
  const amount = counter === null || counter === undefined ? "" : moneyWords(counter);
  if (answer === "countered") return `, you said ${amount}`;
  return answer === "taken" && amount ? `, agreed on ${amount}` : `, ${answer}`;
}

/** @param {Record<string, any>} fields */
function same(fields) {
  return fields;
}

customElements.define("piece-selling", PieceSelling);
