import { html, nothing } from "../../vendor/lit/index.js";
import { parseMeasure } from "../basis/units.js";
import { endLeft, leftRunning } from "../state/left-running.js";
import { button } from "../ui/button.js";
import { textField } from "../ui/field.js";
import { icon } from "../ui/icons.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { dayWords } from "../ui/words.js";
import { pieceName } from "./piece-words.js";

/** @typedef {import("../state/left-running.js").LeftRunning} LeftRunning */

/** What a person said still runs; asked again at the next opening of the app. @type {Set<string>} */
const running = new Set();

/**
 * "Still out?": an outing that was never ended, a timer that ran over night. One at a time, with
 * a likely end to be taken or put right.
 */
export class LeftRunningPrompt extends ScreenElement {
  static properties = {
    ...ScreenElement.properties, only: { type: String }, typed: { state: true },
    driven: { state: true }, wrong: { state: true }, wrongMiles: { state: true },
  };

  constructor() {
    super();
    /** the id of the one that is asked about; "": any */
    this.only = "";
    /** @type {string | null} the end as typed, in this phone's time; null: as proposed */
    this.typed = null;
    this.driven = "";
    this.wrong = "";
    this.wrongMiles = "";
  }

  /** @returns {LeftRunning | null} */
  get left() {
    return leftRunning(this.household).find(({ record }) =>
      !running.has(record.id) && (!this.only || record.id === this.only)) ?? null;
  }

  render() {
    const left = this.household ? this.left : null;
    if (!left) return nothing;
    const out = left.what === "outing";
    return html`<details class="notice-line warn">
      <summary>${icon("clock")}<span><strong>${out ? "Still out?" : "Still working?"}</strong>
        ${this.words(left)}</span></summary>
      <div class="stack tight">
        ${textField({ id: `left-${left.record.id}`, label: "It ended at", type: "datetime-local",
          hint: out ? "as far as what was written says" : "as far as steps and usual minutes say",
          value: this.typed ?? localText(left.endAt), error: this.wrong,
          onInput: (text) => (this.typed = text) })}
        ${out ? textField({ id: `driven-${left.record.id}`, inputmode: "decimal",
          label: this.units === "us" ? "Miles driven" : "Kilometres driven",
          hint: "the whole round, if you know it", value: this.driven, error: this.wrongMiles,
          onInput: (text) => (this.driven = text) }) : nothing}
        <div class="buttons">
          ${button({ label: out ? "End the outing then" : "Stop the timer then", kind: "go",
            onClick: () => this.end(left) })}
          ${button({ label: out ? "Still out" : "Still working",
            onClick: () => this.goOn(left) })}
        </div>
      </div>
    </details>`;
  }

  /** @returns {"us" | "metric"} */
  get units() {
    return this.household.setting.units ?? "us";
  }

  /** @param {LeftRunning} left */
  words({ what, record, since }) {
    const { household } = this;
    const began = new Date(since);
    const day = dayWords(household.dayOf(began), household.today());
    const start = `since ${day}, ${began.toLocaleTimeString([], { hour: "numeric", minute: "2-digit" })}`;
    if (what === "outing") return html`An outing runs ${start}.`;
    const names = record.piece_ids.map((/** @type {string} */ id) => household.get("piece", id))
      .filter(Boolean).map((/** @type {any} */ piece) => pieceName(household, piece));
    return html`A timer runs ${start}${names.length ? `: ${names.join(", ")}` : ""}.`;
  }

  /** @param {LeftRunning} left */
  async end(left) {
    const end = this.typed === null ? new Date(left.endAt) : new Date(this.typed);
    const ms = end.getTime();
    if (Number.isNaN(ms) || ms < Date.parse(left.since) - 60_000 || ms > this.household.now()) {
      this.wrong = "A day and time between its beginning and now.";
      return;
    }
    const driven = this.#metres();
    if (driven === undefined) return;
    const { undo } = await endLeft(this.household, left, end.toISOString(), driven);
    this.#forget();
    showToast({ text: left.what === "outing" ? "The outing is over." : "The timer is stopped.", undo });
  }

  /** @param {LeftRunning} left */
  goOn({ record }) {
    running.add(record.id);
    this.#forget();
    this.dispatchEvent(new CustomEvent("runs"));
  }

  /** @returns {number | null | undefined} null when nothing was typed, undefined when it is wrong */
  #metres() {
    this.wrongMiles = "";
    const text = this.driven.trim();
    try {
      return text ? parseMeasure(text, "distance", this.units) : null;
    } catch (error) {
      this.wrongMiles = /** @type {Error} */ (error).message;
      return undefined;
    }
  }

  #forget() {
    this.typed = null;
    this.driven = "";
    this.wrong = "";
    this.requestUpdate();
  }
}

/**
 * Whether it is to be asked about a stint that runs.
 * @param {any} household
 * @param {string} id
 */
export function isForgotten(household, id) {
  return !running.has(id) && leftRunning(household).some(({ record }) => record.id === id);
}

/** @param {string} instant in this phone's time, as a field for day and time wants it */
function localText(instant) {
  const at = new Date(instant);
  const local = new Date(at.getTime() - at.getTimezoneOffset() * 60_000);
  return local.toISOString().slice(0, 16);
}

customElements.define("left-running", LeftRunningPrompt);
