import { LitElement, html, nothing } from "../../vendor/lit/index.js";
import { button } from "../ui/button.js";
import { checkChips, radioChips } from "../ui/chips.js";
import { moneyField, textField } from "../ui/field.js";
import { minutesWords } from "../ui/words.js";
import "../ui/sheet.js";

/** @typedef {import("./at-the-sale-find.js").Live} Live */
/** @typedef {"kinds" | "traits" | "steps" | "flaws"} Listed */

const GROUPS = [
  ["material", "Material"], ["feature", "Feature"], ["style", "Style"], ["colour", "Colour"],
  ["maker", "Maker"],
];
const LENGTHS = [10, 20, 40, 90];

/** @type {Record<Listed, {heading: string, legend: string}>} */
const WORDS = {
  kinds: { heading: "What is it?", legend: "Kinds" },
  traits: { heading: "Looks", legend: "All looks" },
  steps: { heading: "Needs", legend: "All steps" },
  flaws: { heading: "Anything wrong?", legend: "All flaws" },
};

/**
 * The whole list of kinds, looks, steps or flaws with a search, and a way to add what is missing.
 * Fires `picked` (the chosen slugs), `add` (`{name, ...}` for a new record) and `close`.
 */
export class SalePicker extends LitElement {
  static properties = {
    listed: { attribute: false },
    options: { attribute: false },
    chosen: { attribute: false },
    query: { state: true },
    price: { state: true },
  };

  constructor() {
    super();
    /** @type {Listed | null} what is listed; null: closed */
    this.listed = null;
    /** @type {{slug: string, name: string, hint?: string}[]} */
    this.options = [];
    /** @type {readonly string[]} */
    this.chosen = [];
    this.query = "";
    /** @type {number | null} */
    this.price = null;
  }

  createRenderRoot() {
    return this;
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    if (!changed.has("listed")) return;
    this.query = "";
    this.price = null;
  }

  render() {
    const words = WORDS[this.listed ?? "kinds"];
    return html`<crest-sheet .open=${this.listed !== null} .heading=${words.heading}
      .content=${this.listed ? this.#content(this.listed, words.legend) : nothing}
      .foot=${this.listed && this.listed !== "kinds"
        ? button({ label: "Done", kind: "go", onClick: () => this.#fire("close") }) : nothing}
      @close=${() => this.#fire("close")}></crest-sheet>`;
  }

  /** @param {Listed} listed @param {string} legend */
  #content(listed, legend) {
    const query = this.query.trim();
    const found = this.options.filter(({ name }) =>
      name.toLowerCase().includes(query.toLowerCase()));
    const options = found.map(({ slug, name, hint }) => ({ value: slug, label: name, hint }));
    const known = found.some(({ name }) => name.toLowerCase() === query.toLowerCase());
    return html`
      ${textField({ id: "picker-search", label: "Search or add", type: "search", value: this.query,
        maxlength: 60, onInput: (text) => (this.query = text) })}
      ${listed === "kinds"
        ? radioChips({ name: "picked-kind", legend, options, value: this.chosen[0] ?? null,
            onChange: (slug) => this.#fire("picked", [slug]) })
        : checkChips({ legend, options, values: this.chosen,
            onChange: (slugs) => this.#fire("picked", slugs) })}
      ${found.length ? nothing : html`<p>Nothing by that name here.</p>`}
      ${query && !known ? this.#adding(listed, query) : nothing}`;
  }

  /** @param {Listed} listed @param {string} name */
  #adding(listed, name) {
    if (listed === "flaws") return html`<p class="note">Write it in the note, under More.</p>`;
    if (listed === "kinds") return this.#addKind(name);
    const ways = listed === "traits"
      ? GROUPS.map(([group, label]) => ({ label, fields: { trait_group: group } }))
      : LENGTHS.map((minutes) => ({
          label: minutesWords(minutes), fields: { typical_minutes: minutes },
        }));
    const asks = listed === "traits" ? "What is it about the piece?" : "About how long for one?";
    return html`<section class="panel stack tight">
      <h3>Add “${name}”</h3>
      <p class="note">${asks}</p>
      <div class="buttons">${ways.map(({ label, fields }) =>
        button({ label, onClick: () => this.#fire("add", { name, ...fields }) }))}</div>
    </section>`;
  }

  /** @param {string} name */
  #addKind(name) {
    return html`<section class="panel stack tight">
      <h3>Add “${name}”</h3>
      ${moneyField({ id: "picker-price", label: "What does one usually bring, in fair shape?",
        hint: "Your guess. Your own sales will correct it.", value: this.price,
        onInput: (price) => (this.price = price) })}
      ${button({ label: "Add this kind", kind: "go", onClick: () =>
        this.#fire("add", { name, typical_price: this.price, sureness: "guess" }) })}
    </section>`;
  }

  /** @param {string} name @param {unknown} [detail] */
  #fire(name, detail) {
    this.dispatchEvent(new CustomEvent(name, { detail }));
  }
}

customElements.define("sale-picker", SalePicker);
