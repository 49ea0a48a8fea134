import { html, nothing } from "../../vendor/lit/index.js";
import { allPieces } from "../state/pieces.js";
import { emptyState } from "../ui/card.js";
import { checkChips } from "../ui/chips.js";
import { ScreenElement } from "../ui/screen-element.js";
import { countWords } from "../ui/words.js";
import { pieceName } from "./piece-words.js";
import "./piece-work.js";
import "./work-timer.js";

/** @typedef {import("../state/pieces.js").PieceView} PieceView */

const ON_THE_BENCH = ["bought", "in_work", "ready"];

/** Tonight's work: choose pieces, one timer over all of them, steps to tick for each. */
export class ScreenWork extends ScreenElement {
  static properties = { ...ScreenElement.properties, chosen: { state: true } };

  constructor() {
    super();
    /** @type {string[]} ids of the pieces that are worked on together */
    this.chosen = [];
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    super.willUpdate(changed);
    const asked = this.route?.params?.piece;
    if (changed.has("route") && asked) this.chosen = [asked];
    if (changed.has("household") && this.household && !this.chosen.length) {
      this.chosen = this.household.all("stint")
        .find((/** @type {any} */ s) => !s.stopped_at && !s.minutes)?.piece_ids ?? [];
    }
  }

  /** @returns {PieceView[]} what can be worked on, in work first, then the longest here */
  waiting() {
    return allPieces(this.household)
      .filter(({ stage, piece }) => ON_THE_BENCH.includes(stage) || this.chosen.includes(piece.id))
      .sort((a, b) => Number(b.stage === "in_work") - Number(a.stage === "in_work")
        || (a.piece.at < b.piece.at ? -1 : 1));
  }

  render() {
    if (!this.household) return nothing;
    const views = this.waiting();
    if (!views.length) {
      return emptyState({
        icon: "work", title: "Nothing on the bench",
        text: "What you buy at the sale comes here, with the steps you chose there.",
        action: html`<a class="button go" href="#/sale">At the sale</a>`,
      });
    }
    const chosen = views.filter(({ piece }) => this.chosen.includes(piece.id));
    return html`<div class="panes">
      ${checkChips({
        legend: "On the bench now", values: this.chosen,
        options: views.map(({ piece, steps }) => ({
          value: piece.id, label: pieceName(this.household, piece), hint: leftWords(steps),
        })),
        onChange: (values) => (this.chosen = values),
      })}
      <div class="stack">
        ${chosen.length > 1
          ? html`<section class="stack tight"><h2>All ${chosen.length} together</h2>
              <work-timer .household=${this.household}
                .pieces=${chosen.map(({ piece }) => piece.id)}></work-timer></section>`
          : nothing}
        ${chosen.length
          ? chosen.map((view) => html`<section class="stack tight">
              <h2><a href="#/pieces/${view.piece.id}">${pieceName(this.household, view.piece)}</a></h2>
              <piece-work .household=${this.household} .view=${view}></piece-work>
            </section>`)
          : html`<p class="soft">Choose what you work on; several at once share the time.</p>`}
      </div>
    </div>`;
  }
}

/** @param {any[]} steps */
function leftWords(steps) {
  const left = steps.filter((step) => !step.done_at).length;
  if (!steps.length) return "no steps";
  return left ? countWords(left, "step") + " left" : "steps done";
}

customElements.define("screen-work", ScreenWork);
