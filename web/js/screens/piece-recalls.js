import { html, nothing } from "../../vendor/lit/index.js";
import { cautionsFor, dealBreakers } from "../care/cautions.js";
import { DEFER } from "../care/data.js";
import { button } from "../ui/button.js";
import { notice } from "../ui/card.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";

const UNCHECKED = "recalls-unchecked";

/**
 * Before a piece of a class that is often recalled is listed, somebody says that recalls were
 * looked up, or that it is listed without: one deliberate tap, never passed over in silence. What
 * may not be sold at all is not listed while that stands written.
 *
 * `<piece-recalls .household=… .piece=… .content=${html`the asking price`}></piece-recalls>`
 */
export class PieceRecalls extends ScreenElement {
  static properties = {
    ...ScreenElement.properties, piece: { attribute: false }, content: { attribute: false },
    without: { state: true },
  };

  constructor() {
    super();
    /** @type {any} the piece that is about to be listed */
    this.piece = null;
    /** @type {unknown} what comes after */
    this.content = nothing;
    /** whether it was said that it is listed without looking recalls up */
    this.without = false;
  }

  render() {
    if (!this.household || !this.piece) return nothing;
    const piece = this.household.get("piece", this.piece.id) ?? this.piece;
    const cautions = cautionsOf(this.household, piece);
    const stops = dealBreakers(cautions);
    if (stops.length) return stopped(stops);
    const open = cautions.find(({ code }) => code === UNCHECKED);
    if (open && !this.without) return this.ask(piece, open);
    if (!open) return this.content;
    return html`<div class="stack">
      ${notice({ level: "warn", title: "Recalls: not checked" })}${this.content}</div>`;
  }

  /** @param {any} piece @param {import("../care/cautions.js").Caution} caution */
  ask(piece, { title, text, source }) {
    return html`<div class="stack">
      ${notice({ level: "warn", title, text, source })}
      <p>Look up the maker and model first. A check says only that no recall was found on that
        day; it does not make a piece safe.</p>
      <div class="buttons">
        ${button({ label: "Checked today", icon: "check", kind: "go",
          onClick: () => this.checked(piece) })}
        ${button({ label: "List without checking",
          onClick: () => (this.without = true) })}
      </div>
      <p class="note">${DEFER}</p>
    </div>`;
  }

  /** @param {any} piece */
  async checked(piece) {
    const fields = { recalls_checked_on: this.household.today() };
    const { undo } = await this.household.write([{ type: "piece", id: piece.id, fields }]);
    showToast({ text: "Noted: recalls checked today.", undo });
  }
}

/** @param {import("../care/cautions.js").Caution[]} stops */
function stopped(stops) {
  return html`<div class="stack">
    ${stops.map(({ title, text, source }) => notice({
      level: "stop", title: title.replace(": walk away", ""), text, source,
    }))}
    <p>It is not listed while this is written. If it was noted by mistake, take the flaw off under
      “Change what is written”.</p>
  </div>`;
}

/**
 * The cautions of a piece as it is written.
 * @param {any} household
 * @param {any} piece
 */
function cautionsOf(household, piece) {
  const kind = household.where("kind", "slug", piece.kind)[0];
  return cautionsFor({
    care: kind?.care ?? [], flaws: piece.flaws ?? [],
    recalls_checked_on: piece.recalls_checked_on ?? null,
  });
}

customElements.define("piece-recalls", PieceRecalls);
