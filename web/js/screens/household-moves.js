import { html, nothing } from "../../vendor/lit/index.js";
import { movedBy } from "../pricing/moves.js";
import { movedWords } from "../pricing/words.js";
import { emptyState } from "../ui/card.js";
import { ScreenElement } from "../ui/screen-element.js";
import { countWords } from "../ui/words.js";

/** Of a price of this many units the effect of a look is its share in hundredths of a percent. */
const WHOLE = 10_000;

/** @param {number} share in hundredths of a percent */
function percent(share) {
  const whole = Math.trunc(Math.abs(share) / 100 + 0.5);
  return `${share < 0 && whole > 0 ? "−" : ""}${whole}%`;
}

/** What each look does to a price, those with most own sales first, as the numbers of today have it. */
export class HouseholdMoves extends ScreenElement {
  render() {
    if (!this.household) return nothing;
    const { book } = this.household;
    if (!book) {
      return emptyState({ icon: "rail", title: "No numbers yet",
        text: "Your numbers come to this phone with the first sync." });
    }
    const sales = countWords(book.counts.sales, "own sale");
    return html`<div class="stack">
      <p>How much of its price a piece owes to each look, from ${sales}. In brackets: where
        that most likely lies (4 of 5).</p>
      <ul class="rows" role="list">${this.#moves(book).map((text) => html`<li class="row">
        <span class="row-text">${text}</span></li>`)}</ul>
    </div>`;
  }

  /** @param {any} book */
  #moves(book) {
    /** @type {any[]} */
    const traits = this.household.all("trait");
    const names = new Map(traits.map(({ slug, name }) => [slug, name]));
    return movedBy(book, WHOLE, [...names.keys()])
      .sort((a, b) => b.sales - a.sales || Math.abs(b.amount) - Math.abs(a.amount))
      .map((move) => movedWords(move, names.get(move.trait) ?? move.trait, percent));
  }
}

customElements.define("household-moves", HouseholdMoves);
