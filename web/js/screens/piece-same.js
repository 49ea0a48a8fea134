import { html, nothing } from "../../vendor/lit/index.js";
import { saySame } from "../state/dividing.js";
import { allPieces } from "../state/pieces.js";
import { button } from "../ui/button.js";
import { notice } from "../ui/card.js";
import { selectField } from "../ui/field.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { dayWords } from "../ui/words.js";
import { pieceName, STAGE_WORDS } from "./piece-words.js";

/** @typedef {import("../state/pieces.js").PieceView} PieceView */

/** Two records turn out to be one piece: the other is chosen, and what will happen is said. */
export class PieceSame extends ScreenElement {
  static properties = {
    ...ScreenElement.properties, view: { attribute: false }, other: { state: true },
  };

  constructor() {
    super();
    /** @type {PieceView | null} */
    this.view = null;
    this.other = "";
  }

  /** @returns {PieceView[]} what it may be the same as: its own kind first, the newest first */
  get choices() {
    const { piece } = /** @type {PieceView} */ (this.view);
    return allPieces(this.household)
      .filter((view) => view.piece.id !== piece.id && view.stage !== "duplicate")
      .reverse()
      .sort((a, b) => Number(b.piece.kind === piece.kind) - Number(a.piece.kind === piece.kind));
  }

  render() {
    if (!this.household || !this.view) return nothing;
    const { choices } = this;
    if (!choices.length) return html`<p>There is no other piece yet.</p>`;
    const chosen = choices.find((view) => view.piece.id === this.other);
    return html`<div class="stack">
      ${selectField({
        id: "same-as", label: "It is the same piece as", value: this.other,
        options: [{ value: "", label: "Choose …" }, ...choices.map((view) => ({
          value: view.piece.id, label: this.words(view),
        }))],
        onChange: (id) => (this.other = id),
      })}
      ${chosen ? this.consequences(chosen) : nothing}
    </div>`;
  }

  /** @param {PieceView} view */
  words({ piece, stage }) {
    const day = dayWords(piece.on ?? this.household.today(), this.household.today());
    return `${pieceName(this.household, piece)}, ${day}, ${(STAGE_WORDS[stage] ?? stage).toLowerCase()}`;
  }

  /** @param {PieceView} other */
  consequences(other) {
    const mine = /** @type {PieceView} */ (this.view);
    const [older, newer] = mine.piece.id < other.piece.id ? [mine, other] : [other, mine];
    return html`
      ${notice({ level: "note", title: `“${pieceName(this.household, older.piece)}” of ${
        dayWords(older.piece.on, this.household.today())} stands for both`, text: html`
        <p>It was written first. Photos, work, money and the tag of the other count on it from now
          on; the other is kept, marked as the same, and can be told apart again.</p>` })}
      ${mine.piece.purchase_id && other.piece.purchase_id
        && mine.piece.purchase_id !== other.piece.purchase_id
        ? notice({ level: "warn", title: "Both were paid for",
            text: "The earlier purchase counts. The later one waits in question and is summed nowhere." })
        : nothing}
      ${mine.sale && other.sale
        ? notice({ level: "warn", title: "Both are sold",
            text: "The earlier sale counts. The other waits in question until one of you decides under “Needs settling”." })
        : nothing}
      ${button({ label: "They are the same piece", kind: "go",
        onClick: () => this.save(older, newer) })}`;
  }

  /** @param {PieceView} older @param {PieceView} newer */
  async save(older, newer) {
    const { undo } = await saySame(this.household, older.piece.id, newer.piece.id);
    this.dispatchEvent(new CustomEvent("closed"));
    showToast({ text: `Both are “${pieceName(this.household, older.piece)}” now.`, undo });
    location.hash = `#/pieces/${older.piece.id}`;
  }
}

customElements.define("piece-same", PieceSame);
