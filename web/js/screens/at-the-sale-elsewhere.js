import { LitElement, html, nothing } from "../../vendor/lit/index.js";
import { noteElsewhere } from "../state/finds.js";
import { button } from "../ui/button.js";
import { checkChips, radioChips } from "../ui/chips.js";
import { moneyField, selectField, textField } from "../ui/field.js";
import { stepper } from "../ui/stepper.js";
import { showToast } from "../ui/toast.js";
import { ageWords, moneyWords } from "../ui/words.js";
import { byUse, tally } from "./at-the-sale-find.js";
import "../ui/sheet.js";

/** @typedef {import("./at-the-sale-find.js").Find} Find */
/** @typedef {import("./at-the-sale-find.js").Live} Live */

/**
 * @typedef {object} Seen what is being noted
 * @property {string} kind
 * @property {string[]} traits
 * @property {number} count
 * @property {number | null} amount minor units, for all of them
 * @property {boolean} sold
 * @property {string} where
 */

const LISTED = 3;
const TRAITS_SHOWN = 9;
const NO_AMOUNT = "Put in what it was asked at, or what it is said to have brought.";

/**
 * What was seen elsewhere of a kind, how many, and the way to note another. It is counted apart
 * from own sales, everywhere.
 * @param {any} household
 * @param {Find} find
 */
export function elsewhere(household, find) {
  /** @type {Live[]} */
  const all = find.kind ? household.where("seen_elsewhere", "kind", find.kind) : [];
  const seen = [...all].sort((a, b) => b.at.localeCompare(a.at));
  return html`<section class="stack tight">
    <h3>Seen elsewhere</h3>
    <p class="note">${seenWords(seen.length)}</p>
    <ul class="rows" role="list">${seen.slice(0, LISTED).map((one) => html`
      <li class="row"><span class="row-text">${noteWords(one, household.now())}</span>
      <strong class="row-end figure">${moneyWords(one.amount)}</strong></li>`)}</ul>
    <sale-elsewhere .household=${household} .find=${find}></sale-elsewhere>
  </section>`;
}

/** @param {Live} note @param {Date} now */
function noteWords({ sold, where, at }, now) {
  const what = sold ? "said to have brought" : "asked";
  return [what, where, ageWords(at, now)].filter(Boolean).join(", ");
}

/** @param {number} count */
function seenWords(count) {
  return count === 0 ? "None of this kind noted yet."
    : `${count} of this kind, counted apart from your own sales: each weighs less than a sale.`;
}

/** The button "I saw one elsewhere" and its sheet, filled in from the find. */
export class SaleElsewhere extends LitElement {
  static properties = {
    household: { attribute: false },
    find: { attribute: false },
    seen: { state: true },
    wrong: { state: true },
  };

  constructor() {
    super();
    /** @type {any} */
    this.household = null;
    /** @type {Find | null} */
    this.find = null;
    /** @type {Seen | null} null: the sheet is closed */
    this.seen = null;
    this.wrong = "";
  }

  createRenderRoot() {
    return this;
  }

  render() {
    return html`
      ${button({ label: "I saw one elsewhere", onClick: () => this.#open() })}
      <crest-sheet .open=${this.seen !== null} .heading=${"Seen elsewhere"}
        .content=${this.seen ? this.#content(this.seen) : nothing}
        .foot=${button({ label: "Save the note", kind: "go", onClick: () => this.#save() })}
        @close=${() => (this.seen = null)}></crest-sheet>`;
  }

  #open() {
    this.wrong = "";
    this.seen = this.find ? fromFind(this.find) : null;
  }

  /** @param {Seen} seen */
  #content(seen) {
    return html`
      ${moneyField({ id: "seen-amount", label: "Amount", value: seen.amount, error: this.wrong,
        hint: seen.count > 1 ? `For all ${seen.count}.` : undefined,
        onInput: (amount) => this.#say({ amount }) })}
      ${radioChips({ name: "seen-sold", legend: "What is that amount?",
        options: [{ value: "asked", label: "Asked" }, { value: "sold", label: "Sold for" }],
        value: seen.sold ? "sold" : "asked",
        onChange: (value) => this.#say({ sold: value === "sold" }) })}
      ${textField({ id: "seen-where", label: "Where", value: seen.where, maxlength: 200,
        onInput: (where) => this.#say({ where }) })}
      ${this.#what(seen)}`;
  }

  /** @param {Seen} seen */
  #what(seen) {
    const { household } = this;
    const kinds = byUse(household.all("kind"), new Map());
    return html`
      ${selectField({ id: "seen-kind", label: "What was it?", value: seen.kind,
        options: kinds.map(({ slug, name }) => ({ value: slug, label: name })),
        onChange: (kind) => this.#say({ kind }) })}
      ${checkChips({ legend: "Its looks", options: looks(household, this.find?.traits ?? []),
        values: seen.traits, onChange: (traits) => this.#say({ traits }) })}
      <div class="chips"><p class="sale-legend" aria-hidden="true">How many</p>
        ${stepper({ label: "How many were there", value: seen.count, min: 1, max: 500,
          onChange: (count) => this.#say({ count }) })}</div>`;
  }

  /** @param {Partial<Seen>} said */
  #say(said) {
    if (!this.seen) return;
    this.wrong = "";
    this.seen = { ...this.seen, ...said };
  }

  async #save() {
    const { seen } = this;
    if (!seen) return;
    if (!seen.amount) {
      this.wrong = NO_AMOUNT;
      return;
    }
    const { undo } = await noteElsewhere(this.household, {
      ...seen, amount: seen.amount, where: seen.where.trim(),
    });
    this.seen = null;
    showToast({ text: "Noted. It counts once your numbers come back from home.", undo });
  }
}

/**
 * What is seen elsewhere is taken to be like the find until told otherwise.
 * @param {Find} find
 * @returns {Seen}
 */
function fromFind({ kind, traits, count }) {
  return { kind: kind ?? "", traits, count, amount: null, sold: false, where: "" };
}

/** The looks of the find, then those used most. @param {any} household @param {string[]} own */
function looks(household, own) {
  /** @type {Live[]} */
  const pieces = household.all("piece");
  /** @type {Live[]} */
  const all = byUse(household.all("trait"), tally(pieces.flatMap(({ traits }) => traits ?? [])));
  const first = all.filter(({ slug }) => own.includes(slug));
  const rest = all.filter(({ slug }) => !own.includes(slug));
  return [...first, ...rest].slice(0, Math.max(TRAITS_SHOWN, first.length))
    .map(({ slug, name }) => ({ value: slug, label: name }));
}

customElements.define("sale-elsewhere", SaleElsewhere);
