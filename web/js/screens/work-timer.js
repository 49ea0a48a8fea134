import { html, nothing } from "../../vendor/lit/index.js";
import { startStint, stopStint } from "../state/actions.js";
import { button } from "../ui/button.js";
import { selectField } from "../ui/field.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { minutesWords } from "../ui/words.js";
import { isForgotten } from "./left-running.js";

const TICK = 1000;

/**
 * A timer over one or several pieces. What runs is a record, so it survives a closed page and
 * another phone can stop it.
 */
export class WorkTimer extends ScreenElement {
  static properties = {
    ...ScreenElement.properties, pieces: { attribute: false }, step: { state: true },
  };

  constructor() {
    super();
    /** @type {string[]} ids of the pieces that are worked on together */
    this.pieces = [];
    this.step = "";
    /** @type {any} */
    this.ticking = null;
  }

  connectedCallback() {
    super.connectedCallback();
    this.ticking = setInterval(() => this.running && this.requestUpdate(), TICK);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    clearInterval(this.ticking);
  }

  /** The stint that runs on any of these pieces. */
  get running() {
    return this.pieces
      .flatMap((id) => this.household?.where("stint", "piece_ids", id) ?? [])
      .find((stint) => !stint.stopped_at && !stint.minutes) ?? null;
  }

  render() {
    if (!this.household || !this.pieces.length) return nothing;
    const { running } = this;
    return running ? this.clock(running) : this.start();
  }

  /** @param {any} stint */
  clock(stint) {
    if (isForgotten(this.household, stint.id)) {
      return html`<left-running .household=${this.household} only=${stint.id}
        @runs=${() => this.requestUpdate()}></left-running>`;
    }
    const name = this.household.where("step", "slug", stint.step)[0]?.name ?? "Work";
    return html`<div class="panel spread">
      <div><p class="note">${name}${stint.piece_ids.length > 1 ? `, ${stint.piece_ids.length} pieces` : ""}</p>
        <p class="timer" role="timer">${clockWords(stint.started_at, this.household.now())}</p></div>
      ${button({ label: "Stop", icon: "pause", kind: "go", onClick: () => this.stop(stint) })}
    </div>`;
  }

  start() {
    const options = this.household.all("step")
      .map((/** @type {any} */ s) => ({ value: s.slug, label: s.name }));
    return html`<div class="stack tight">
      ${selectField({
        id: `timer-step-${this.pieces[0]}`, label: "Time it as", value: this.step,
        options: [{ value: "", label: "Work on the whole piece" }, ...options],
        onChange: (step) => (this.step = step),
      })}
      ${button({ label: "Start the timer", icon: "play", onClick: () => this.begin() })}
    </div>`;
  }

  async begin() {
    const { undo } = await startStint(this.household, {
      pieceIds: this.pieces, step: this.step || null, units: 1,
    });
    showToast({ text: "The timer runs, also when Crestrail is closed.", undo });
  }

  /** @param {any} stint */
  async stop(stint) {
    const { undo } = await stopStint(this.household, stint.id);
    const minutes = this.household.get("stint", stint.id)?.minutes;
    showToast({ text: `${minutesWords(minutes)} written down.`, undo, undoLabel: "Go on" });
  }
}

/**
 * "0:12:03" since the start.
 * @param {string} since
 * @param {Date} now
 */
export function clockWords(since, now) {
  const seconds = Math.max(0, Math.floor((now.getTime() - Date.parse(since)) / 1000));
  const two = (/** @type {number} */ n) => String(n).padStart(2, "0");
  return `${Math.floor(seconds / 3600)}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
}

customElements.define("work-timer", WorkTimer);
