import { html, nothing } from "../../vendor/lit/index.js";
import { costOfSet, partingShares, splitOff } from "../state/dividing.js";
import { notice } from "../ui/card.js";
import { textField } from "../ui/field.js";
import { once } from "../ui/once.js";
import { ScreenElement } from "../ui/screen-element.js";
import { stepper } from "../ui/stepper.js";
import { showToast } from "../ui/toast.js";
import { countWords, toTheCent } from "../ui/words.js";
import { pieceName } from "./piece-words.js";

/** @typedef {import("../state/dividing.js").Parting} Parting */

const MOST = 1_000_000;

/** Some of a set become a piece of their own: how many, and what they are worth to the rest. */
export class PieceDividing extends ScreenElement {
  static properties = {
    ...ScreenElement.properties, piece: { attribute: false }, count: { state: true },
    worth: { state: true },
  };

  constructor() {
    super();
    /** @type {any} the set */
    this.piece = null;
    this.count = 1;
    /** @type {{child: string, parent: string} | null} as typed; null: by their number */
    this.worth = null;
  }

  /** @returns {number} how many stay */
  get rest() {
    return (this.piece.count ?? 1) - this.count;
  }

  /** The two relative worths as they stand in the fields. */
  get typed() {
    return this.worth ?? { child: String(this.count), parent: String(this.rest) };
  }

  /** @returns {Parting | null} null while a worth is no number, or both are nothing */
  get parting() {
    const [childWeight, parentWeight] = [weight(this.typed.child), weight(this.typed.parent)];
    if (childWeight === null || parentWeight === null) return null;
    return { count: this.count, childWeight, parentWeight };
  }

  render() {
    if (!this.household || !this.piece) return nothing;
    const { parting, typed } = this;
    const wrong = (/** @type {string} */ text) =>
      weight(text) === null ? `A whole number from 1 to ${MOST.toLocaleString("en-US")}.` : undefined;
    return html`<form class="stack" novalidate 
      @submit=${once((/** @type {Event} */ event) => this.save(event))}>
      <div class="chips"><p class="sale-legend" aria-hidden="true">How many are split off</p>
        ${stepper({ label: "How many are split off", value: this.count, min: 1,
          max: this.piece.count - 1, onChange: (count) => (this.count = count) })}</div>
      <p class="soft">${countWords(this.rest, "stays", "stay")} as ${pieceName(this.household, this.piece)}.</p>
      <div class="columns">
        ${textField({ id: "split-child", label: "Worth of those split off", inputmode: "numeric",
          hint: "against the others: 2 and 2 is alike", value: typed.child,
          error: wrong(typed.child), onInput: (child) => (this.worth = { ...typed, child }) })}
        ${textField({ id: "split-parent", label: "Worth of those that stay", inputmode: "numeric",
          hint: "so the cost is shared", value: typed.parent, error: wrong(typed.parent),
          onInput: (parent) => (this.worth = { ...typed, parent }) })}
      </div>
      ${parting ? this.shares(parting) : nothing}
      ${notice({ level: "note", title: "The tag and the photos stay with the set",
        text: "So do its steps, its asking price and who asked. Minutes and money up to now are "
          + "shared as above; the new piece wants a tag and photos of its own." })}
      <button type="submit" class="button go" ?disabled=${!parting}>Split off ${this.count}</button>
    </form>`;
  }

  /** @param {Parting} parting */
  shares(parting) {
    const cost = costOfSet(this.household, this.piece.id);
    if (cost === null) return html`<p class="soft">What the set cost is not known.</p>`;
    const { child, parent } = partingShares(cost, parting);
    return html`<dl class="facts" aria-live="polite">
      <dt>Cost of those split off</dt><dd class="figure">${toTheCent(child)}</dd>
      <dt>Cost of those that stay</dt><dd class="figure">${toTheCent(parent)}</dd>
    </dl>`;
  }

  /** @param {Event} event */
  async save(event) {
    event.preventDefault();
    if (!this.parting) return;
    const { ids, undo } = await splitOff(this.household, this.piece, this.parting);
    this.dispatchEvent(new CustomEvent("closed"));
    showToast({
      text: `${this.count} split off: a piece of its own now.`,
      undo: async () => {
        await undo();
        if (location.hash.endsWith(ids[0])) location.hash = `#/pieces/${this.piece.id}`;
      },
    });
    location.hash = `#/pieces/${ids[0]}`;
  }
}

/** @param {string} text @returns {number | null} */
function weight(text) {
  const value = /^\s*\d+\s*$/.test(text) ? Number(text) : 0;
  return value >= 1 && value <= MOST ? value : null;
}

customElements.define("piece-dividing", PieceDividing);
