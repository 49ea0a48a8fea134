import { html, nothing } from "../../vendor/lit/index.js";
import { ScreenElement } from "../ui/screen-element.js";
import { ageWords } from "../ui/words.js";
import { showToast } from "../ui/toast.js";
import { button } from "../ui/button.js";

/** @typedef {{group: string, stamp: string, values: Record<string, any>, device: string, at: string, outcome: string}} Entry */

/** Every value a piece ever had, from home's history; any of them can be brought back. */
export class PieceHistory extends ScreenElement {
  static properties = {
    ...ScreenElement.properties, piece: { type: String },
    entries: { state: true }, away: { state: true },
  };

  constructor() {
    super();
    this.piece = "";
    /** @type {Entry[]} */
    this.entries = [];
    this.away = "";
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    super.willUpdate(changed);
    if (changed.has("piece") || changed.has("household")) this.entries = [];
  }

  async load() {
    try {
      this.away = "";
      this.entries = (await this.household.api(`/api/history/piece/${this.piece}`)).entries;
      if (!this.entries.length) this.away = "Nothing there yet: it has not been home.";
    } catch {
      this.away = "The history is kept at home, and home doesn't answer.";
    }
  }

  render() {
    return html`<div class="stack tight">
      ${button({ label: "Ask home", icon: "home", onClick: () => this.load() })}
      ${this.away ? html`<p class="soft" role="status">${this.away}</p>` : nothing}
      <ul class="rows" role="list">${this.entries.map((entry) => this.line(entry))}</ul>
    </div>`;
  }

  /** @param {Entry} entry */
  line(entry) {
    const values = Object.entries(entry.values ?? {})
      .map(([name, value]) => `${name.replaceAll("_", " ")}: ${value ?? "nothing"}`).join(", ");
    return html`<li class="story-event">
      <span class="note">${ageWords(entry.at, this.household.now())}</span>
      <span>${values} <span class="note">${entry.outcome}</span>
        ${button({ label: "Bring back", kind: "quiet", onClick: () => this.bringBack(entry) })}</span>
    </li>`;
  }

  /** @param {Entry} entry */
  async bringBack(entry) {
    const { undo } = await this.household.write([
      { type: "piece", id: this.piece, fields: entry.values },
    ]);
    showToast({ text: "Brought back.", undo });
  }
}

customElements.define("piece-history", PieceHistory);
