import { LitElement, html, nothing } from "../../vendor/lit/index.js";
import { parseMeasure, showMeasure } from "../basis/units.js";
import { goBack } from "../pricing/going-back.js";
import { GOING_BACK, backSentences, cureToGo } from "../pricing/words.js";
import { lastSeen, noteReturn, saleOf } from "../state/returns.js";
import { button } from "../ui/button.js";
import { textField } from "../ui/field.js";
import { whereAmI } from "../ui/position.js";
import { showToast } from "../ui/toast.js";
import { waterfall } from "../ui/waterfall.js";
import { aboutMoney, ageWords, dayWords } from "../ui/words.js";
import { viewOf } from "./at-the-sale-view.js";
import "../ui/sheet.js";

/** @typedef {import("./at-the-sale-find.js").Find} Find */
/** @typedef {import("../state/memory.js").Live} Live */
/** @typedef {import("../pricing/going-back.js").BackAnswer} BackAnswer */

const METRES = 1609.344;
const UNREAD = {
  way: "A way such as 4 or 4.5, one that can be driven in a day",
  minutes: "Minutes such as 20, at most 6,000",
};

/**
 * "Go back?" for a find that was passed or left for later: one sentence, the workings, and on
 * return what one found, which teaches how soon such pieces are gone. Fires `found` when it was
 * there.
 */
export class SaleBack extends LitElement {
  static properties = {
    household: { attribute: false },
    piece: { attribute: false },
    find: { attribute: false },
    open: { state: true },
    typed: { state: true },
    here: { state: true },
    looking: { state: true },
  };

  constructor() {
    super();
    /** @type {any} */
    this.household = null;
    /** @type {Live | null} */
    this.piece = null;
    /** @type {(() => Find) | null} */
    this.find = null;
    this.open = false;
    this.typed = { way: "", minutes: "", closes: "" };
    /** the find that `typed` is about: shut and opened again, its sheet holds what was typed */
    this.about = "";
    /** @type {[number, number] | null} */
    this.here = null;
    this.looking = false;
  }

  createRenderRoot() {
    return this;
  }

  render() {
    const { piece } = this;
    if (!piece) return nothing;
    return html`${button({ label: "Go back?", kind: "quiet", onClick: () => this.#begin(piece) })}
      <crest-sheet .open=${this.open} .heading=${"Go back for it?"}
        .content=${this.open ? this.#content(piece) : nothing}
        .foot=${html`${button({ label: "It was gone", onClick: () => this.#note(piece, false) })}
          ${button({ label: "It was there", kind: "go",
            onClick: () => this.#note(piece, true) })}`}
        @close=${() => (this.open = false)}></crest-sheet>`;
  }

  /** @param {Live} piece */
  #begin(piece) {
    this.open = true;
    if (this.about === piece.id) return;
    const closes = saleOf(this.household, piece).closesAt;
    this.about = piece.id;
    this.typed = { way: "", minutes: "", closes: this.#isToday(closes) ? clock(closes) : "" };
    this.here = null;
  }

  /** @param {string | null} instant */
  #isToday(instant) {
    return instant !== null && new Date(instant).toDateString()
      === this.household.now().toDateString();
  }

  /** @param {Live} piece when its sale closes: as typed for today, else as it was said there */
  #closesAt(piece) {
    const said = saleOf(this.household, piece).closesAt;
    const { closes } = this.typed;
    if (!closes) return this.#isToday(said) ? null : said;
    const typed = this.household.now();
    const [hours, minutes] = closes.split(":").map(Number);
    typed.setHours(hours, minutes, 0, 0);
    return typed.toISOString();
  }

  get #units() {
    return this.household.setting.units ?? "us";
  }

  /** The typed way in miles; a text that is no distance is its own answer, to be refused. */
  get #miles() {
    const text = this.typed.way.trim();
    if (!text) return null;
    try {
      return parseMeasure(text, "distance", this.#units) / METRES;
    } catch {
      return NaN;
    }
  }

  /** @param {Live} piece */
  #answer(piece) {
    const find = /** @type {() => Find} */ (this.find)();
    const minutes = this.typed.minutes.trim();
    return goBack(this.household.book, viewOf(this.household, find).input, {
      now: this.household.now().toISOString(),
      seen_at: lastSeen(this.household, piece),
      closes_at: this.#closesAt(piece),
      miles: this.#miles,
      minutes: minutes ? Number(minutes) : null,
      here: this.here,
      there: saleOf(this.household, piece).place,
    });
  }

  /** @param {Live} piece */
  #content(piece) {
    const answer = this.#answer(piece);
    return html`<div role="status" class="stack tight">
        ${answer.ok ? this.#said(answer) : cureToGo(answer.details).map((text) =>
          html`<p>${text}</p>`)}</div>
      ${this.#fields(piece, answer.ok ? [] : answer.details.map(({ path }) => path))}
      ${answer.ok ? html`<details class="more"><summary>Workings</summary>
        ${this.#workings(answer)}</details>` : nothing}
      <p class="note">${this.#seen(piece)} What you find there teaches your numbers.</p>`;
  }

  /** @param {BackAnswer} answer */
  #said(answer) {
    const said = backSentences(answer, aboutMoney);
    return html`<p class="lead"><strong>${said.worth}</strong></p>
      <p>${said.chance}</p>`;
  }

  /** @param {Live} piece */
  #seen(piece) {
    const { name } = saleOf(this.household, piece);
    const at = name ? ` at ${name}` : "";
    return `Last seen${at} ${ageWords(lastSeen(this.household, piece), this.household.now())}.`;
  }

  /** @param {BackAnswer} answer */
  #workings(answer) {
    const said = backSentences(answer, aboutMoney);
    const rows = answer.rows.map(({ key, amount }, i) => ({
      label: GOING_BACK[key], amount,
      place: i === 0 ? /** @type {const} */ ("start")
        : i === answer.rows.length - 1 ? /** @type {const} */ ("end") : undefined,
    }));
    const way = showMeasure(Math.round(answer.miles * METRES), "distance", this.#units);
    const from = answer.source === "positions" ? "by the positions, roads taken into account, "
      : "";
    return html`${waterfall("From the profit there to what going back is worth", rows)}
      <p class="note">${said.half}</p>
      <p class="note">${way} there and back, ${from}${Math.round(answer.minutes)} min.</p>
      ${said.miles ? html`<p class="note">${said.miles}</p>` : nothing}`;
  }

  /** @param {Live} piece @param {string[]} wrong names of what cannot be taken */
  #fields(piece, wrong) {
    const { place, closesAt } = saleOf(this.household, piece);
    const say = (/** @type {Partial<typeof this.typed>} */ typed) =>
      (this.typed = { ...this.typed, ...typed });
    const past = closesAt && !this.#isToday(closesAt)
      ? `It closed on ${this.#day(closesAt)}. Open again today?`
      : "If you know it.";
    return html`
      ${place ? button({ label: this.looking ? "Looking …" : "Use where I am", icon: "pin",
        disabled: this.looking, onClick: () => this.#locate() }) : nothing}
      ${textField({ id: "back-way", inputmode: "decimal", value: this.typed.way,
        label: this.#units === "us" ? "Extra miles, there and back"
          : "Extra kilometres, there and back",
        error: this.typed.way && wrong.includes("miles") ? UNREAD.way : undefined,
        onInput: (way) => say({ way }) })}
      <div class="columns">
        ${textField({ id: "back-minutes", label: "Extra minutes", inputmode: "numeric",
          hint: "Worked out from the way if empty.", value: this.typed.minutes,
          error: this.typed.minutes && wrong.includes("minutes") ? UNREAD.minutes : undefined,
          onInput: (minutes) => say({ minutes }) })}
        ${textField({ id: "back-closes", label: "It closes at", type: "time", hint: past,
          value: this.typed.closes, onInput: (closes) => say({ closes }) })}
      </div>`;
  }

  /** @param {string} instant */
  #day(instant) {
    return dayWords(this.household.dayOf(Date.parse(instant)), this.household.today());
  }

  async #locate() {
    this.looking = true;
    this.here = await whereAmI();
    this.looking = false;
    if (!this.here) showToast({ text: "This phone does not say where it is. Type the way." });
  }

  /** @param {Live} piece @param {boolean} found */
  async #note(piece, found) {
    const closesAt = this.#closesAt(piece);
    this.open = false;
    this.about = "";
    const { undo } = await noteReturn(this.household, piece, { found, closesAt });
    if (found) this.dispatchEvent(new CustomEvent("found"));
    showToast({ text: found ? "Still there. Noted." : "Gone. Noted.", undo });
  }
}

/** @param {string | null} instant @returns {string} "HH:MM" on this phone's clock */
function clock(instant) {
  const at = new Date(instant ?? 0);
  return [at.getHours(), at.getMinutes()].map((n) => String(n).padStart(2, "0")).join(":");
}

customElements.define("sale-back", SaleBack);
