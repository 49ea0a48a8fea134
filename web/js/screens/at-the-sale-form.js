import { html } from "../../vendor/lit/index.js";
import { button } from "../ui/button.js";
import { checkChips, radioChips } from "../ui/chips.js";
import { moneyField, textField } from "../ui/field.js";
import { icon } from "../ui/icons.js";
import { stepper } from "../ui/stepper.js";
import { GRADE_WORDS, minutesWords } from "../ui/words.js";
import { checkList } from "./at-the-sale-checks.js";
import "./piece-photo.js";

/** @typedef {import("./at-the-sale-find.js").Find} Find */
/** @typedef {import("./at-the-sale-find.js").Live} Live */

/**
 * @typedef {object} FormView
 * @property {any} household
 * @property {Find} find
 * @property {{kinds: Live[], traits: Live[], steps: Live[], flaws: Live[]}}
 *   choices most used first
 * @property {(changes: Partial<Find>) => void} change
 * @property {(what: "kinds" | "traits" | "steps" | "flaws") => void} more opens the whole list
 * @property {(file: File) => void} onPhoto
 * @property {() => void} onPicker a picker is about to take the screen away
 */

const KINDS_SHOWN = 5;
const TRAITS_SHOWN = 7;
const STEPS_SHOWN = 6;
const FLAWS_SHOWN = 6;

/**
 * What is put in about a find, most needed first.
 * @param {FormView} view
 */
export function saleForm(view) {
  return html`
    ${kinds(view)}
    ${checks(view)}
    ${traits(view)}
    ${needs(view)}
    ${flaws(view)}
    <div class="sale-pair">
      <div class="chips"><p class="sale-legend" aria-hidden="true">How many</p>
        ${stepper({ label: "How many", value: view.find.count, min: 1, max: 500,
          onChange: (count) => view.change({ count }) })}</div>
      ${photos(view)}
    </div>
    ${grade(view)}
    ${typed(view)}`;
}

/** @param {FormView} view */
function kinds({ find, choices, change, more }) {
  return radioChips({
    name: "kind",
    legend: "What is it?",
    options: shown(choices.kinds, find.kind ? [find.kind] : [], KINDS_SHOWN),
    value: find.kind,
    onChange: (kind) => change({ kind }),
    after: button({ label: "More", icon: "more", onClick: () => more("kinds") }),
  });
}

/** @param {FormView} view */
function traits({ find, choices, change, more }) {
  return checkChips({
    legend: "Looks",
    options: shown(choices.traits, find.traits, TRAITS_SHOWN),
    values: find.traits,
    onChange: (traits) => change({ traits }),
    after: button({ label: "More", icon: "more", onClick: () => more("traits") }),
  });
}

/** @param {FormView} view */
function needs({ find, choices, change, more }) {
  return checkChips({
    legend: "Needs",
    options: shown(choices.steps, find.steps, STEPS_SHOWN).map((option, i, all) => ({
      ...option, hint: stepHint(choices.steps, all[i].value, find.count),
    })),
    values: find.steps,
    onChange: (steps) => change({ steps }),
    after: button({ label: "More", icon: "more", onClick: () => more("steps") }),
  });
}

/**
 * A whole list as the picker shows it.
 * @param {FormView["choices"]} choices
 * @param {"kinds" | "traits" | "steps" | "flaws"} which
 * @param {Find} find
 */
export function listed(choices, which, { count }) {
  return choices[which].map(({ slug, name }) => ({
    slug, name, hint: which === "steps" ? stepHint(choices.steps, slug, count) : undefined,
  }));
}

/**
 * @param {Live[]} steps
 * @param {string} slug
 * @param {number} count
 */
function stepHint(steps, slug, count) {
  const minutes = steps.find((step) => step.slug === slug)?.typical_minutes;
  return minutes ? minutesWords(minutes * count) : undefined;
}

/** @param {FormView} view */
function checks({ find, choices, change }) {
  const kind = choices.kinds.find(({ slug }) => slug === find.kind);
  return checkList({
    care: kind ? kind.care ?? [] : null, flaws: find.flaws, onFlaws: (flaws) => change({ flaws }),
  });
}

/** @param {FormView} view */
function flaws({ find, choices, change, more }) {
  return checkChips({
    legend: "Anything wrong?",
    options: shown(choices.flaws, find.flaws, FLAWS_SHOWN),
    values: find.flaws,
    onChange: (flaws) => change({ flaws }),
    after: button({ label: "More", icon: "more", onClick: () => more("flaws") }),
  });
}

/** @param {FormView} view */
function grade({ find, change }) {
  return radioChips({
    name: "grade",
    legend: "How does it stand there? (Fair, if you don't say)",
    options: GRADE_WORDS.map((label, i) => ({ value: String(i + 1), label })),
    value: find.found_grade === null ? null : String(find.found_grade),
    onChange: (value) => change({ found_grade: Number(value) }),
  });
}

/** @param {FormView} view */
function photos({ household, find, onPhoto, onPicker }) {
  const picked = (/** @type {Event} */ event) => {
    const input = /** @type {HTMLInputElement} */ (event.target);
    const file = input.files?.[0];
    input.value = "";
    if (file) onPhoto(file);
  };
  return html`<div class="sale-photos">
    <label class="button photo-button">${icon("camera")}<span>Photo</span>
      <input class="unseen" type="file" accept="image/*" capture="environment"
        @pointerdown=${onPicker} @click=${onPicker} @change=${picked} /></label>
    ${find.photos.map((photo, i) => html`<piece-photo .household=${household}
      .sha256=${photo.sha256} .alt=${`Photo ${i + 1} of this find`}></piece-photo>`)}
  </div>`;
}

/** @param {FormView} view */
function typed({ find, change }) {
  const open = find.likely !== null || find.typed_minutes !== null || find.note || find.title;
  return html`<details class="more" ?open=${Boolean(open)}>
    <summary>More: your own price, a name, a note</summary>
    <div class="stack">
      ${moneyField({ id: "likely", label: "What you think it brings",
        hint: "Put over what your past sales say.", value: find.likely,
        onInput: (likely) => change({ likely: likely || null }) })}
      <div class="columns">
        ${moneyField({ id: "low", label: "At the low end", value: find.low,
          onInput: (low) => change({ low: low || null }) })}
        ${moneyField({ id: "high", label: "At the high end", value: find.high,
          onInput: (high) => change({ high: high || null }) })}
        ${textField({ id: "minutes", label: "Minutes of bench work", type: "number",
          inputmode: "numeric", value: String(find.typed_minutes ?? ""),
          onInput: (text) => change({ typed_minutes: wholeMinutes(text) }) })}
        ${moneyField({ id: "supplies", label: "Supplies", value: find.typed_supplies,
          onInput: (supplies) => change({ typed_supplies: supplies }) })}
      </div>
      ${textField({ id: "title", label: "A name for it", value: find.title, maxlength: 120,
        onInput: (title) => change({ title }) })}
      ${textField({ id: "note", label: "Note", value: find.note, multiline: true,
        maxlength: 4000, onInput: (note) => change({ note }) })}
    </div>
  </details>`;
}

/**
 * @param {string} text
 * @returns {number | null}
 */
function wholeMinutes(text) {
  const minutes = Number.parseInt(text, 10);
  return Number.isNaN(minutes) ? null : Math.min(100_000, Math.max(0, minutes));
}

/**
 * The first few as chips, and every chosen one however far down it stands.
 * @param {Live[]} records
 * @param {readonly string[]} chosen
 * @param {number} few
 */
function shown(records, chosen, few) {
  const known = records.map(({ slug, name }) => ({ value: slug, label: name }));
  const first = known.slice(0, few);
  const extra = chosen.filter((slug) => !first.some((option) => option.value === slug));
  const named = extra.map((slug) =>
    known.find((option) => option.value === slug) ?? { value: slug, label: slug });
  return [...first, ...named];
}

/**
 * What they ask for it, in the bar.
 * @param {number | null} ask minor units
 * @param {(ask: number | null) => void} onAsk
 */
export function askField(ask, onAsk) {
  return html`<div class="sale-ask">
    <label for="ask">They ask</label>
    <crest-money-input .inputId=${"ask"} .label=${"They ask"} .value=${ask}
      @amount=${(/** @type {CustomEvent} */ event) => onAsk(event.detail)}></crest-money-input>
  </div>`;
}
