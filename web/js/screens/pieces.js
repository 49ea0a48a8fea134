import { html, nothing } from "../../vendor/lit/index.js";
import { dropsDue } from "../state/asking.js";
import { allPieces } from "../state/pieces.js";
import { badge, emptyState } from "../ui/card.js";
import { radioChips } from "../ui/chips.js";
import { selectField, textField } from "../ui/field.js";
import { icon } from "../ui/icons.js";
import { ScreenElement } from "../ui/screen-element.js";
import { ageWords, countWords, moneyWords } from "../ui/words.js";
import "./drop-due.js";
import "./piece-photo.js";
import { GROUPS, matches, pieceName, STAGE_TONES, STAGE_WORDS } from "./piece-words.js";

/** @typedef {import("../state/pieces.js").PieceView} PieceView */

const PAGE = 60;

/** What we own, have seen and have had: by stage and spot, with a search. */
export class ScreenPieces extends ScreenElement {
  static properties = {
    ...ScreenElement.properties,
    group: { state: true },
    typed: { state: true },
    spot: { state: true },
    shown: { state: true },
    current: { type: String },
  };

  constructor() {
    super();
    this.group = "here";
    this.typed = "";
    this.spot = "";
    this.shown = PAGE;
    /** the piece that is open beside the list */
    this.current = "";
  }

  render() {
    if (!this.household) return nothing;
    const views = this.found();
    return html`<div class="stack">
      ${textField({
        id: "piece-search", label: "Search", type: "search", value: this.typed,
        placeholder: "name, wood, note or tag code",
        onInput: (value) => this.narrow({ typed: value }),
      })}
      ${this.typed ? nothing : this.filters()}
      ${this.typed || this.current ? nothing : this.due()}
      <p class="soft" role="status">${countWords(views.length, "piece")}</p>
      ${views.length ? this.list(views) : this.nothingHere()}
    </div>`;
  }

  /** Planned drops whose day has come; several are one line that opens. */
  due() {
    const drops = dropsDue(this.household).map(({ view }) => html`<drop-due
      named .household=${this.household} .view=${view}></drop-due>`);
    return drops.length < 2 ? drops : html`<details class="notice-line">
      <summary>${icon("note")}<span>${countWords(drops.length, "planned price")} due</span></summary>
      <div>${drops}</div>
    </details>`;
  }

  filters() {
    const spots = this.household.all("spot");
    return html`${radioChips({
      name: "piece-group", legend: "Which", value: this.group,
      options: GROUPS.map(({ name, label }) => ({ value: name, label })),
      onChange: (value) => this.narrow({ group: value, spot: "" }),
    })}
    ${spots.length && this.group === "here"
      ? selectField({
          id: "piece-spot", label: "Standing in", value: this.spot,
          options: [
            { value: "", label: "Anywhere" },
            ...spots.map((/** @type {any} */ s) => ({ value: s.id, label: s.name })),
            { value: "none", label: "No spot said" },
          ],
          onChange: (value) => this.narrow({ spot: value }),
        })
      : nothing}`;
  }

  /** @param {Partial<{group: string, typed: string, spot: string}>} change */
  narrow(change) {
    Object.assign(this, change);
    this.shown = PAGE;
  }

  /** @returns {PieceView[]} newest first; a search looks through all groups */
  found() {
    const stages = GROUPS.find((g) => g.name === this.group)?.stages ?? [];
    return allPieces(this.household)
      .filter((view) => this.typed
        ? matches(this.typed, this.textsOf(view))
        : stages.includes(view.stage) && this.inSpot(view))
      .sort((a, b) => (a.piece.at < b.piece.at ? 1 : -1));
  }

  /** @param {PieceView} view */
  inSpot({ piece }) {
    if (!this.spot || this.group !== "here") return true;
    return this.spot === "none" ? !piece.spot_id : piece.spot_id === this.spot;
  }

  /** @param {PieceView} view */
  textsOf({ piece, tag }) {
    return [
      pieceName(this.household, piece), piece.kind ?? "", ...(piece.traits ?? []),
      piece.note ?? "", tag?.code ?? "",
    ];
  }

  /** @param {PieceView[]} views */
  list(views) {
    return html`<ul class="rows" role="list">
      ${views.slice(0, this.shown).map((view) => html`<li>${this.row(view)}</li>`)}
    </ul>
    ${views.length > this.shown
      ? html`<button type="button" class="button" @click=${() => (this.shown += PAGE)}>
          Show ${Math.min(PAGE, views.length - this.shown)} more</button>`
      : nothing}`;
  }

  /** @param {PieceView} view */
  row(view) {
    const { piece, stage, photos } = view;
    const spot = piece.spot_id ? this.household.get("spot", piece.spot_id)?.name : null;
    const age = ageWords(piece.at, this.household.now());
    return html`<a class="row" href="#/pieces/${piece.id}"
      aria-current=${this.current === piece.id ? "true" : nothing}>
      <piece-photo .household=${this.household} sha256=${photos[0]?.sha256 ?? ""} alt=""></piece-photo>
      <span class="row-text">
        <span class="row-title">${pieceName(this.household, piece)}</span>
        <span class="note">${[spot, age].filter(Boolean).join(" · ")}</span>
      </span>
      <span class="row-end">
        ${badge(STAGE_WORDS[stage] ?? stage, STAGE_TONES[stage] ?? "")}
        <span class="note figure">${this.amountOf(view)}</span>
      </span>
    </a>`;
  }

  /** @param {PieceView} view the amount that matters most at its stage */
  amountOf({ stage, sale, asking, cost, piece }) {
    if (stage === "sold" && sale) return moneyWords(sale.price);
    if ((stage === "listed" || stage === "on_hold") && asking) return moneyWords(asking.amount);
    if (stage === "seen" || stage === "passed") {
      return piece.ask === null || piece.ask === undefined ? "" : `asks ${moneyWords(piece.ask)}`;
    }
    return cost === null || cost === undefined ? "" : `cost ${moneyWords(cost)}`;
  }

  nothingHere() {
    if (this.typed) {
      return emptyState({
        icon: "search", title: "Nothing by that name",
        text: "Try one word: a wood, a kind, or the letters on the tag.",
      });
    }
    return this.group === "gone"
      ? emptyState({
          icon: "pieces", title: "Nothing has left yet",
          text: "Sold, kept and given pieces will stand here with what they earned.",
        })
      : emptyState({
          icon: "rail", title: "No pieces here yet",
          text: "Price a find at the sale and tap Bought. What already stands in your garage goes in as opening stock.",
          action: html`<a class="button go" href="#/sale">At the sale</a>
            <a class="button" href="#/household?part=opening">Add opening stock</a>`,
        });
  }
}

customElements.define("screen-pieces", ScreenPieces);
