import { html, nothing } from "../../vendor/lit/index.js";
import { chooseStep, markReady, setSpot, tickStep } from "../state/actions.js";
import { cautionsFor } from "../care/cautions.js";
import { button } from "../ui/button.js";
import { notice } from "../ui/card.js";
import { selectField } from "../ui/field.js";
import { icon } from "../ui/icons.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { minutesWords } from "../ui/words.js";
import "./piece-supplies.js";
import "./work-timer.js";

/** @typedef {import("../state/pieces.js").PieceView} PieceView */

const AT_THE_BENCH = ["to_fetch", "bought", "in_work", "ready", "listed", "on_hold"];

/** The steps of a piece to tick, a timer, cautions, where it stands, and "ready". */
export class PieceWork extends ScreenElement {
  static properties = { ...ScreenElement.properties, view: { attribute: false } };

  constructor() {
    super();
    /** @type {PieceView | null} */
    this.view = null;
  }

  render() {
    if (!this.view || !AT_THE_BENCH.includes(this.view.stage)) return nothing;
    const { piece, steps } = this.view;
    return html`<section class="stack tight">
      <h2>Work</h2>
      ${steps.length
        ? html`<ul class="rows" role="list">${steps.map((step) => html`<li>${this.step(step)}</li>`)}</ul>`
        : html`<p class="soft">No steps chosen.</p>`}
      ${this.addStep(steps)}
      ${this.cautions(steps)}
      <work-timer .household=${this.household} .pieces=${[piece.id]}></work-timer>
      <piece-supplies .household=${this.household} piece=${piece.id}></piece-supplies>
      ${this.place()}
    </section>`;
  }

  /** @param {any} step a piece_step */
  step(step) {
    const kind = this.household.where("step", "slug", step.step)[0];
    const units = step.units > 1 ? ` × ${step.units}` : "";
    const usual = kind?.typical_minutes ? minutesWords(kind.typical_minutes * (step.units ?? 1)) : "";
    return html`<label class="tick">
      <input type="checkbox" .checked=${Boolean(step.done_at)}
        @change=${(/** @type {Event} */ event) => this.tick(step, event)} />
      <span class="row-title">${kind?.name ?? step.step}${units}</span>
      <span class="note">${usual}</span>
    </label>`;
  }

  /** @param {any} step @param {Event} event */
  async tick(step, event) {
    const done = /** @type {HTMLInputElement} */ (event.target).checked;
    const { undo } = await tickStep(this.household, step.id, done);
    const name = this.household.where("step", "slug", step.step)[0]?.name ?? step.step;
    showToast({ text: done ? `${name} is done.` : `${name} is to do again.`, undo });
  }

  /** @param {any[]} steps */
  addStep(steps) {
    const chosen = steps.map((step) => step.step);
    const options = this.household.all("step")
      .filter((/** @type {any} */ s) => !s.standing && !chosen.includes(s.slug))
      .map((/** @type {any} */ s) => ({ value: s.slug, label: s.name }));
    const piece = this.view?.piece;
    if (!options.length || !piece) return nothing;
    return selectField({
      id: `add-step-${piece.id}`, label: "Add a step", value: "",
      options: [{ value: "", label: "Choose …" }, ...options],
      onChange: (slug) => slug && chooseStep(this.household, piece.id, { step: slug, units: 1 }),
    });
  }

  /** @param {any[]} steps cautions for what is still to be done */
  cautions(steps) {
    const open = steps.filter((step) => !step.done_at);
    const care = open.flatMap((s) => this.household.where("step", "slug", s.step)[0]?.care ?? []);
    const piece = this.view?.piece;
    const kind = this.household.where("kind", "slug", piece?.kind)[0];
    const found = cautionsFor({
      care: [...(kind?.care ?? []), ...care], flaws: piece?.flaws ?? [],
      recalls_checked_on: piece?.recalls_checked_on ?? null,
    });
    if (!found.length) return nothing;
    return html`<details class="more"><summary>${icon("warn")} Before you begin (${found.length})</summary>
      <div class="stack tight">${found.map((caution) => notice(
        /** @type {import("../ui/card.js").Notice} */ (caution),
      ))}</div></details>`;
  }

  place() {
    if (!this.view) return nothing;
    const { piece } = this.view;
    const spots = this.household.all("spot").map((/** @type {any} */ s) => ({ value: s.id, label: s.name }));
    return html`${spots.length
      ? selectField({
          id: `piece-stands-${piece.id}`, label: "Stands in", value: piece.spot_id ?? "",
          options: [{ value: "", label: "Not said" }, ...spots],
          onChange: (id) => setSpot(this.household, piece.id, id || null),
        })
      : nothing}
    ${piece.ready_at
      ? nothing
      : button({ label: "It is ready", icon: "check", kind: "go", onClick: () => this.ready() })}`;
  }

  async ready() {
    const { undo } = await markReady(this.household, /** @type {PieceView} */ (this.view).piece.id);
    showToast({ text: "Ready to be listed.", undo });
  }
}

customElements.define("piece-work", PieceWork);
