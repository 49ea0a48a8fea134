import { LitElement, html, nothing } from "../../vendor/lit/index.js";
import { parseMeasure } from "../basis/units.js";
import { button } from "../ui/button.js";
import { moneyField, textField } from "../ui/field.js";
import { icon } from "../ui/icons.js";
import { minutesWords, moneyWords } from "../ui/words.js";
import "../ui/sheet.js";

/** @typedef {import("../state/outing.js").Running} Running */

/**
 * The line above the card: cash, hours taken on and room, or the way to start an outing.
 * @param {Running | null} running
 * @param {() => void} onOpen
 */
export function outingLine(running, onOpen) {
  const parts = running ? lineOf(running) : [];
  return html`<button type="button" class="outing-line" @click=${onOpen}>
    ${running ? nothing : icon("car")}
    <span>${running ? parts.map((part, i) => html`${i ? " · " : nothing}${part}`)
      : "Start an outing"}</span>
  </button>`;
}

/** @param {Running} running */
function lineOf({ cashLeft, minutesTaken, litresTaken, litresLimit }) {
  const room = roomWords(litresTaken, litresLimit);
  return [
    ...(cashLeft === null ? [] : [html`Cash <strong>${moneyWords(cashLeft)}</strong>`]),
    html`Work <strong>${minutesWords(minutesTaken)}</strong>`,
    ...(room ? [html`Room <strong>${room}</strong>`] : []),
  ];
}

/**
 * How full the car is, as a person says it.
 * @param {number} taken litres
 * @param {number | null} limit litres
 */
export function roomWords(taken, limit) {
  if (!limit) return "";
  const left = 1 - taken / limit;
  if (left <= 0) return "none left";
  if (left < 0.2) return "very little";
  if (left < 0.4) return "about a third";
  if (left < 0.65) return "about half";
  if (left < 0.9) return "most of it";
  return "all of it";
}

/**
 * The sheet behind the line. Fires `start` and `stop` with `{cash, hours, name, closes, here}` (cash
 * in minor units, hours as minutes, closes "HH:MM", here: keep the place), `end` with `{driven}` in metres, and `close`.
 */
export class SaleOuting extends LitElement {
  static properties = {
    open: { type: Boolean },
    running: { attribute: false },
    units: { type: String },
    typed: { state: true },
    wrong: { state: true },
  };

  constructor() {
    super();
    this.open = false;
    /** @type {Running | null} */
    this.running = null;
    /** @type {"us" | "metric"} */
    this.units = "us";
    this.typed = nothingTyped();
    this.wrong = "";
  }

  createRenderRoot() {
    return this;
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    if (!changed.has("open") || !this.open) return;
    this.typed = nothingTyped();
    this.wrong = "";
  }

  render() {
    return html`<crest-sheet .open=${this.open}
      .heading=${this.running ? "This outing" : "Start an outing"}
      .content=${this.open ? this.#content() : nothing} .foot=${this.#foot()}
      @close=${() => this.#fire("close")}></crest-sheet>`;
  }

  #content() {
    const { cash, hours } = this.typed;
    return html`${questions()}${this.running ? standing(this.running) : html`
      ${moneyField({ id: "outing-cash", label: "Cash you take along", value: cash,
        onInput: (amount) => this.#type({ cash: amount }) })}
      ${textField({ id: "outing-hours", label: "Hours of work you can take on", type: "number",
        inputmode: "decimal", hint: "Leave it empty if it does not matter.", value: hours,
        onInput: (text) => this.#type({ hours: text }) })}`}
      ${this.#stop()}
      ${this.running ? this.#driven() : nothing}`;
  }

  #driven() {
    const label = this.units === "us" ? "Miles driven" : "Kilometres driven";
    return html`<h3>On the way home?</h3>
      ${textField({ id: "outing-driven", label, inputmode: "decimal", value: this.typed.driven,
        hint: "The whole round. Needed at the end only.", error: this.wrong,
        onInput: (text) => this.#type({ driven: text }) })}`;
  }

  #stop() {
    const { name, closes, here } = this.typed;
    return html`<h3>${this.running ? "At another sale now" : "The first sale"}</h3>
      <div class="columns">
        ${textField({ id: "stop-name", label: "Which sale", hint: "A street or a sign will do.",
          value: name, maxlength: 120, onInput: (text) => this.#type({ name: text }) })}
        ${textField({ id: "stop-closes", label: "It closes at", type: "time", value: closes,
          onInput: (text) => this.#type({ closes: text }) })}
      </div>
      <label class="switch"><input type="checkbox" .checked=${here}
        @change=${() => this.#type({ here: !here })} />
        <span>Keep where it is, in case I go back</span></label>`;
  }

  #foot() {
    return this.running
      ? html`${button({ label: "End the outing", onClick: () => this.#end() })}
          ${button({ label: "Go on from here", kind: "go", onClick: () => this.#tell("stop") })}`
      : button({ label: "Start", kind: "go", onClick: () => this.#tell("start") });
  }

  #end() {
    const text = this.typed.driven.trim();
    try {
      this.#fire("end", { driven: text ? parseMeasure(text, "distance", this.units) : null });
    } catch (error) {
      this.wrong = /** @type {Error} */ (error).message;
    }
  }

  /** @param {Partial<ReturnType<typeof nothingTyped>>} typed */
  #type(typed) {
    this.wrong = "";
    this.typed = { ...this.typed, ...typed };
  }

  /** @param {"start" | "stop"} name */
  #tell(name) {
    const { cash, hours, name: sale, closes, here } = this.typed;
    const minutes = hours.trim() ? Math.round(Number(hours) * 60) : null;
    this.#fire(name, {
      cash, hours: Number.isFinite(minutes) ? minutes : null, name: sale.trim(), closes, here,
    });
  }

  /** @param {string} name @param {unknown} [detail] */
  #fire(name, detail) {
    this.dispatchEvent(new CustomEvent(name, { detail }));
  }
}

/** The two questions that are about all finds of the day. */
export function questions() {
  return html`<nav class="cluster" aria-label="Of all finds">
    <a class="button" href="#/choose">Which of these?</a>
    <a class="button" href="#/load">Does it still go in?</a>
  </nav>`;
}

function nothingTyped() {
  return { cash: /** @type {number | null} */ (null), hours: "", name: "", closes: "", driven: "",
    here: false };
}

/** @param {Running} running */
function standing({ stop, cashLeft, minutesTaken, minutesLimit, litresTaken, litresLimit }) {
  const room = roomWords(litresTaken, litresLimit);
  const limit = minutesLimit === null ? "" : ` of ${minutesWords(minutesLimit)}`;
  return html`<dl class="facts">
    ${stop?.name ? html`<dt>At</dt><dd>${stop.name}</dd>` : nothing}
    ${cashLeft === null ? nothing : html`<dt>Cash left</dt><dd>${moneyWords(cashLeft)}</dd>`}
    <dt>Work taken on</dt><dd>${minutesWords(minutesTaken)}${limit}</dd>
    ${room ? html`<dt>Room in the car</dt><dd>${room}</dd>` : nothing}
  </dl>`;
}

customElements.define("sale-outing", SaleOuting);
