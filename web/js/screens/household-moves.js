import { html, nothing } from "../../vendor/lit/index.js";
import { movedBy } from "../pricing/moves.js";
import { priceFind } from "../pricing/pad.js";
import { movedWords } from "../pricing/words.js";
import { emptyState } from "../ui/card.js";
import { selectField } from "../ui/field.js";
import { ScreenElement } from "../ui/screen-element.js";
import { countWords, moneyWords, unbrokenMoney } from "../ui/words.js";

/** Of a price of this many units the effect of a look is its share in hundredths of a percent. */
const WHOLE = 10_000;

/** @param {number} share in hundredths of a percent */
function percent(share) {
  const whole = Math.trunc(Math.abs(share) / 100 + 0.5);
  return `${share < 0 && whole > 0 ? "−" : ""}${whole}%`;
}

/** @typedef {import("../pricing/moves.js").Move} Move */
/** @typedef {{slug: string, name: string, likely: number}} Priced a kind and what it likely brings */

/** What each look does to a price, those with most own sales first, as the numbers of today have it. */
export class HouseholdMoves extends ScreenElement {
  static properties = { ...ScreenElement.properties, kind: { state: true } };

  constructor() {
    super();
    /** @type {string | null} the slug of the kind to say it for; null: the one sold most */
    this.kind = null;
  }

  render() {
    if (!this.household) return nothing;
    const { book } = this.household;
    if (!book) {
      return emptyState({ icon: "rail", title: "No numbers yet",
        text: "Your numbers come to this phone with the first sync." });
    }
    const kinds = this.#kinds(book);
    const kind = kinds.find(({ slug }) => slug === this.kind) ?? kinds[0];
    const sales = countWords(book.counts.sales, "own sale");
    const { moved, unmoved } = this.#moves(book, kind);
    if (!moved.length) {
      return emptyState({ icon: "rail", title: "Nothing moves your prices yet",
        text: "Say the looks of a find at the sale, and write down what it sold for: from then on "
          + "you see here what each look adds to a price.",
        action: html`<a class="button go" href="#/sale">To the pad</a>` });
    }
    return html`<div class="stack">
      ${kind ? selectField({ id: "moves-kind", label: "Of what a piece of this kind brings",
        value: kind.slug, onChange: (slug) => (this.kind = slug),
        options: kinds.map(({ slug, name, likely }) => (
          { value: slug, label: `${name}, ${moneyWords(likely)}` })) }) : nothing}
      <p>So much each look adds to its price or takes off it, from ${sales}. In brackets: where
        that most likely lies (4 of 5).</p>
      <ul class="rows" role="list">${moved.map((text) => html`<li class="row">
        <span class="row-text">${text}</span></li>`)}</ul>
      ${unmoved.length ? html`<p class="note">No evidence yet: ${unmoved.join(", ")}.</p>` : nothing}
    </div>`;
  }

  /** The kinds that have a price, those sold most first. @param {any} book @returns {Priced[]} */
  #kinds(book) {
    const sold = (/** @type {string} */ slug) => book.counts.kinds?.[slug] ?? 0;
    /** @type {any[]} */
    const kinds = this.household.all("kind");
    return kinds
      .map(({ slug, name }) => {
        const answer = priceFind(book, { kind: slug });
        return { slug, name, likely: answer.ok ? answer.range.likely : 0 };
      })
      .filter(({ likely }) => likely > 0)
      .sort((a, b) => sold(b.slug) - sold(a.slug) || (a.name < b.name ? -1 : 1));
  }

  /**
   * What each look does in words, and the names of those that nothing is known of.
   * @param {any} book
   * @param {Priced | undefined} kind
   */
  #moves(book, kind) {
    /** @type {any[]} */
    const traits = this.household.all("trait");
    const names = new Map(traits.map(({ slug, name }) => [slug, name]));
    const nameOf = (/** @type {Move} */ { trait }) => names.get(trait) ?? trait;
    const all = movedBy(book, kind?.likely ?? WHOLE, [...names.keys()])
      .sort((a, b) => b.sales - a.sales || Math.abs(b.amount) - Math.abs(a.amount));
    const money = kind ? unbrokenMoney : percent;
    return {
      moved: all.filter(isKnown).map((move) => movedWords(move, nameOf(move), money)),
      unmoved: all.filter((move) => !isKnown(move)).map(nameOf),
    };
  }
}

/** @param {Move} move */
function isKnown({ known, sales, amount }) {
  return known && (sales > 0 || amount !== 0);
}

customElements.define("household-moves", HouseholdMoves);
