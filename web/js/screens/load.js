import { html, nothing } from "../../vendor/lit/index.js";
import { live } from "../../vendor/lit/directives/live.js";
import { parseMeasure, showMeasure } from "../basis/units.js";
import { cautionsFor } from "../care/cautions.js";
import { button } from "../ui/button.js";
import { notice, tagCard } from "../ui/card.js";
import { checkChips } from "../ui/chips.js";
import { textField } from "../ui/field.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { countWords } from "../ui/words.js";
import { DRAFT, fromDraft } from "./at-the-sale-find.js";
import { loadDrawing } from "./load-drawing.js";
import {
  CAR, NOW, SIDES, inTheCar, isMeasured, isMeasuredCar, loadAnswer, mayComeIn,
} from "./load-pieces.js";

/** @typedef {import("./load-pieces.js").Item} Item */

const THE_CAR = "car";
const SIDE_WORDS = { width_mm: "Width", depth_mm: "Depth", height_mm: "Height" };
const CAR_WORDS = {
  car_length_mm: "Length of the hold", car_width_mm: "Width of the hold",
  car_height_mm: "Height of the hold", car_opening_width_mm: "Width of the opening",
  car_opening_height_mm: "Height of the opening",
};
const CAREFUL = `No way to stow it was found. That may be too careful: cushions give, legs come off,
  and a piece can be tilted on its way in.`;
const TIE = `Tie the load down so that nothing slides when you brake or turn, heavy things low and
  to the front, belts, mirrors and view free. What the car may carry, and its lashing points, are
  in its own manual. What may stand on top of what is yours to judge. Roof loads are not reckoned
  here.`;

/** Does it still go in: the sizes of what is in the car and of what may come in as well. */
export class LoadCar extends ScreenElement {
  static properties = {
    .../** @type {any} */ (ScreenElement).properties,
    typed: { state: true },
    ticked: { state: true },
    draft: { state: true },
    pending: { state: true },
    ready: { state: true },
    carOpen: { state: true },
  };

  constructor() {
    super();
    /** @type {Record<string, string>} what stands in the fields and is not kept yet */
    this.typed = {};
    /** @type {string[] | null} keys of what is to come in as well; null: nobody said */
    this.ticked = null;
    /** @type {Record<string, Record<string, any>>} read, and kept when the field is left */
    this.pending = {};
    this.keeping = Promise.resolve();
    /** what stands on the pad, with its size */
    this.draft = fromDraft(null);
    this.ready = false;
    /** whether the car's measures are unfolded; they never shut by themselves while one is typed */
    this.carOpen = false;
  }

  async connectedCallback() {
    super.connectedCallback();
    this.setTitle("Does it still go in");
    if (!this.household) return;
    this.carOpen = !isMeasuredCar(this.household.setting);
    this.draft = fromDraft(await this.household.draft(DRAFT));
    this.ready = true;
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.#keep();
  }

  /** @returns {"us" | "metric"} */
  get units() {
    return this.household.setting.units ?? "us";
  }

  render() {
    if (!this.household || !this.ready) return nothing;
    const inside = inTheCar(this.household).map((one) => this.#asTyped(one));
    const others = mayComeIn(this.household, this.draft).map((one) => this.#asTyped(one));
    const ticked = this.ticked ?? others.slice(0, 1).map(({ key }) => key);
    const coming = others.filter(({ key }) => ticked.includes(key));
    const load = loadAnswer([...inside, ...coming], this.#carMeasures());
    return html`<div class="panes load" @focusout=${() => this.#keep()}>
      <div class="stack">${this.#card(load, inside.length + coming.length)}</div>
      <div class="stack">
      ${this.#coming(others, ticked)}
      ${coming.map((one) => this.#sizes(one))}
      ${inside.length ? html`<h2>In the car already</h2>` : nothing}
      ${inside.map((one) => this.#sizes(one))}
      ${this.#car()}
      ${this.#care()}
      </div>
    </div>`;
  }

  /** @param {Item} one @returns {Item} */
  #asTyped(one) {
    return { ...one, size: { ...one.size, ...this.pending[one.key] } };
  }

  #carMeasures() {
    return { ...this.household.setting, ...this.pending[THE_CAR] };
  }

  /** @param {string} key of a piece, or `THE_CAR` @param {Record<string, any>} fields */
  #put(key, fields) {
    this.pending = { ...this.pending, [key]: { ...this.pending[key], ...fields } };
  }

  /** @param {ReturnType<typeof loadAnswer>} load @param {number} count */
  #card(load, count) {
    if (load === null) {
      return notice({ level: "note", title: "Measure your car first",
        text: "Five measures, once, under Your car below: the free box of the hold, and its opening." });
    }
    if (!count) {
      return notice({ level: "note", title: "Nothing to load yet",
        text: "Leave a find for later on the pad, or buy it: then you see here whether it goes in." });
    }
    const { answer, unknown } = load;
    const unread = Object.values(this.typed).some((text) => read(text, this.units).error);
    if (!answer.ok) return notice({ level: "warn", title: answer.details?.[0]?.message ?? "" });
    const [word, text] = this.#verdict(load);
    return tagCard({ label: "Does it go in", tone: answer.fits ? "" : "danger", body: html`<div
      class="stack tight"><p><span class="card-label">Does it all go in?</span>
        <strong class="card-number choose-number">${word}</strong></p>
      <p>${text}</p>
      ${unknown.length ? html`<p class="note">Without a size: ${unknown.map(({ name }) => name)
        .join(", ")}.</p>` : nothing}
      ${unread ? html`<p class="note">One measure cannot be read: what stood there before
        counts.</p>` : nothing}
      ${answer.fits && answer.loaded?.length
        ? loadDrawing({ ...load, loaded: answer.loaded, units: this.units }) : nothing}</div>` });
  }

  /** @param {NonNullable<ReturnType<typeof loadAnswer>>} load @returns {[string, string]} */
  #verdict({ answer, unknown, names, passesHold }) {
    const why = answer.why ?? "";
    if (why.startsWith("too_large")) {
      const name = names[Number(why.split(":")[1])];
      return ["No", passesHold
        ? `${name} does not pass the opening, whichever way it may travel.`
        : `${name} is larger than the hold, whichever way it may travel.`];
    }
    if (why === "too_much") return ["No", "All of it takes more room than the hold has."];
    if (why) return ["Probably not", CAREFUL];
    if (unknown.length) {
      const without = unknown.reduce((sum, { count }) => sum + count, 0);
      return ["Not known yet", `What has a size goes in. ${countWords(without, "piece")} without `
        + `one still ${without === 1 ? "has" : "have"} to find room.`];
    }
    return ["Yes", "One way to stow it, though what is in may have to come out first."];
  }

  /** @param {Item[]} others @param {string[]} ticked */
  #coming(others, ticked) {
    if (!others.length) {
      return html`<p class="note">Finds that you leave for later today can be tried here.</p>`;
    }
    return checkChips({
      legend: "To go in as well", values: ticked, onChange: (keys) => (this.ticked = keys),
      options: others.map(({ key, name }) => ({
        value: key, label: name, hint: key === NOW ? "on the pad" : undefined,
      })),
    });
  }

  /** @param {Item} one */
  #sizes(one) {
    const each = one.count > 1 ? ", each" : "";
    return html`<fieldset class="load-sizes"><legend>${one.name}${each}</legend>
      ${isMeasured(one) ? nothing : html`<p class="note">Its size is needed.</p>`}
      <div class="load-sides">
        ${SIDES.map((side) => this.#measure(`${one.key}-${side}`, SIDE_WORDS[side], one.size[side],
          (mm) => this.#put(one.key, { [side]: mm })))}
      </div>
      <label class="switch"><input type="checkbox" .checked=${Boolean(one.size.travels_upright)}
        @change=${() => {
          this.#put(one.key, { travels_upright: !one.size.travels_upright });
          this.#keep();
        }} />
        <span>Must stay upright</span></label>
    </fieldset>`;
  }

  /**
   * A measure in the household's units; it is kept as soon as it can be read.
   * @param {string} id
   * @param {string} label
   * @param {number | null} value mm
   * @param {(mm: number | null) => void} keep
   */
  #measure(id, label, value, keep) {
    const text = this.typed[id] ?? (value ? showMeasure(value, "length", this.units) : "");
    const { mm, error } = read(text, this.units);
    return textField({ id, label, value: text, inputmode: "decimal", error,
      placeholder: this.units === "us" ? "in" : "cm",
      onInput: (now) => {
        this.typed = { ...this.typed, [id]: now };
        const wanted = read(now, this.units);
        if (!wanted.error && wanted.mm !== mm) keep(wanted.mm);
      } });
  }

  /** One after the other: each writes whole groups, with what the one before has kept. */
  #keep() {
    this.keeping = this.keeping.catch(() => {}).then(() => this.#write());
    return this.keeping;
  }

  /** Keep what was typed: on the pieces, in the household's setting, or with the pad's draft. */
  async #write() {
    const { pending, household } = this;
    if (!Object.keys(pending).length) return;
    if (pending[NOW]) {
      this.draft = { ...this.draft, size: { ...this.draft.size, ...pending[NOW] } };
      await household.saveDraft(DRAFT, this.draft);
    }
    await household.write(Object.entries(pending).filter(([key]) => key !== NOW)
      .map(([key, fields]) => wish(household, key, fields)));
    const later = Object.entries(this.pending).filter(([key, fields]) => pending[key] !== fields);
    this.pending = Object.fromEntries(later);
  }

  #car() {
    const setting = this.#carMeasures();
    return html`<details class="more" ?open=${live(this.carOpen)}
      @toggle=${(/** @type {Event} */ event) => {
        this.carOpen = /** @type {HTMLDetailsElement} */ (event.target).open;
      }}>
      <summary>Your car</summary>
      <div class="stack tight">
        <p class="note">The box that is free of wheel arches and seats, and the opening at its
          narrowest.</p>
        <div class="load-sides">${CAR.map((name) => this.#measure(name, CAR_WORDS[name],
          setting[name] ?? null, (mm) => this.#put(THE_CAR, { [name]: mm })))}</div>
        ${isMeasuredCar(setting) ? nothing : html`<p class="note">
          All five are needed.</p>`}
        ${CAR.some((name) => setting[name]) ? button({ label: "Measure anew",
          onClick: () => this.#anew() }) : nothing}
      </div></details>`;
  }

  async #anew() {
    const none = Object.fromEntries(CAR.map((name) => [name, null]));
    const { undo } = await this.household.write([wish(this.household, THE_CAR, none)]);
    this.typed = {};
    this.pending = {};
    showToast({ text: "The measures of the car are out.", undo });
  }

  #care() {
    return html`${cautionsFor({ care: ["lifting"], flaws: [] }).map((caution) => notice({
      level: "warn", title: caution.title, text: caution.text, source: caution.source,
    }))}
    ${notice({ level: "note", title: "Tie it down", text: TIE,
      source: "common practice, no source" })}`;
  }
}

/**
 * The change that keeps measures: those of a group together, with what stands of them.
 * @param {any} household
 * @param {string} key of a piece, or `THE_CAR`
 * @param {Record<string, any>} fields
 */
function wish(household, key, fields) {
  const car = key === THE_CAR;
  const record = car ? household.setting : household.get("piece", key);
  const group = (car ? CAR : SIDES).map((name) => [name, record?.[name] ?? null]);
  const sized = Object.keys(fields).some((name) => name !== "travels_upright");
  return {
    type: car ? "setting" : "piece", id: car ? household.id : key,
    fields: { ...(sized ? Object.fromEntries(group) : {}), ...fields },
  };
}

/**
 * @param {string} text
 * @param {"us" | "metric"} units
 * @returns {{mm: number | null, error?: string}}
 */
function read(text, units) {
  if (text.trim() === "") return { mm: null };
  try {
    const mm = parseMeasure(text, "length", units);
    if (mm >= 1 && mm <= 20_000) return { mm };
    return { mm: null, error: `From ${units === "us" ? "1 to 787 in" : "1 to 2,000 cm"}` };
  } catch (error) {
    return { mm: null, error: /** @type {Error} */ (error).message };
  }
}

customElements.define("screen-load", LoadCar);
