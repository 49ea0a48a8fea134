import { html, nothing } from "../../vendor/lit/index.js";
import { groupOf } from "../records/groups.js";
import { readNumber } from "../ui/amount.js";
import { button } from "../ui/button.js";
import { notice } from "../ui/card.js";
import { checkChips } from "../ui/chips.js";
import { moneyField, selectField, textField } from "../ui/field.js";
import { once } from "../ui/once.js";
import { ScreenElement } from "../ui/screen-element.js";

/**
 * One field of a form over a record.
 * @typedef {object} FormField
 * @property {string} name of the record's field
 * @property {string} label
 * @property {"text" | "long" | "money" | "int" | "percent" | "choice" | "date" | "many" | "yes" |
 *   "thousandths"} as
 * @property {string} [hint]
 * @property {import("../ui/chips.js").ChipOption[]} [options] of "choice" and "many"
 * @property {(value: any) => string | undefined} [check] what is wrong with a value, in words
 */

/**
 * A form over the fields of one record: what was typed stays until it is saved, what is wrong is
 * said at its field. Fires `saved` with what was written, and `closed`.
 */
export class RecordForm extends ScreenElement {
  static properties = {
    ...ScreenElement.properties,
    recordType: { type: String },
    record: { attribute: false },
    fields: { attribute: false },
    preset: { attribute: false },
    complete: { attribute: false },
    adjust: { attribute: false },
    saveLabel: { type: String },
    closable: { type: Boolean },
    typed: { state: true },
    errors: { state: true },
  };

  constructor() {
    super();
    this.recordType = "";
    /** @type {any} the record that is edited; null makes one */
    this.record = null;
    /** @type {FormField[]} */
    this.fields = [];
    /** @type {Record<string, any>} values of a new record that are not asked */
    this.preset = {};
    /**
     * What follows from the typed; throws a `bad_field` where what was typed will not do.
     * @type {(fields: Record<string, any>) => Record<string, any>}
     */
    this.complete = (fields) => fields;
    /** @type {(typed: Record<string, any>) => Record<string, any>} the same for an edit */
    this.adjust = (typed) => typed;
    this.saveLabel = "Save";
    this.closable = true;
    /** @type {Record<string, any>} */
    this.typed = {};
    /** @type {Record<string, string | null>} the stamp of what stood there when it was typed over */
    this.seen = {};
    /** @type {Record<string, string>} */
    this.errors = {};
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    super.willUpdate(changed);
    const before = /** @type {any} */ (changed.get("record"));
    if (changed.has("record") && before?.id !== this.record?.id) this.reset();
  }

  reset() {
    this.typed = {};
    this.seen = {};
    this.errors = {};
  }

  render() {
    const others = Object.entries(this.errors).filter(([name]) => !this.#asks(name));
    return html`<form class="stack" novalidate 
      @submit=${once((/** @type {Event} */ event) => this.#submit(event))}>
      ${others.map(([, message]) => notice({ level: "warn", title: message }))}
      ${this.fields.map((field) => this.#control(field))}
      <div class="cluster">
        <button type="submit" class="button go">${this.saveLabel}</button>
        ${this.closable
          ? button({ label: "Close", onClick: () => this.dispatchEvent(new CustomEvent("closed")) })
          : nothing}
      </div>
    </form>`;
  }

  /** @param {string} name */
  #asks(name) {
    return this.fields.some((field) => field.name === name);
  }

  /** @param {FormField} field @returns {any} what stands in the field now */
  valueOf(field) {
    if (field.name in this.typed) return this.typed[field.name];
    return (this.record ?? this.preset)[field.name] ?? null;
  }

  /** @param {string} name @param {any} value */
  #put(name, value) {
    const group = groupOf(this.recordType, name);
    const stamps = this.record ? this.household.stampsOf(this.record) : {};
    this.seen = { [group]: stamps[group] ?? null, ...this.seen };
    this.typed = { ...this.typed, [name]: value };
  }

  /** @param {FormField} field */
  #control(field) {
    const look = {
      id: `${this.recordType}-${field.name}`, label: field.label, hint: field.hint,
      error: this.errors[field.name],
    };
    const value = this.valueOf(field);
    const put = (/** @type {any} */ typed) => this.#put(field.name, typed);
    switch (field.as) {
      case "money": return moneyField({ ...look, value, onInput: put });
      case "choice": return selectField({
        ...look, value: value ?? "", options: field.options ?? [],
        onChange: (chosen) => put(chosen || null),
      });
      case "yes": return selectField({
        ...look, value: value ? "yes" : "no", onChange: (chosen) => put(chosen === "yes"),
        options: [{ value: "no", label: "No" }, { value: "yes", label: "Yes" }],
      });
      case "many": return checkChips({
        legend: field.label, options: field.options ?? [], values: value ?? [], onChange: put,
      });
      default: return textField({
        ...look, value: shown(field, value), onInput: (text) => put(read(field, text)),
        multiline: field.as === "long",
        type: field.as === "date" ? "date" : "text",
        inputmode: field.as === "int" || field.as in SCALES ? "decimal" : undefined,
      });
    }
  }

  /** @returns {Record<string, string>} what cannot be saved as it was typed, by field */
  #wrong() {
    return Object.fromEntries(this.fields.filter(({ name }) => name in this.typed)
      .map((field) => [field.name, problemOf(field, this.typed[field.name])])
      .filter(([, problem]) => problem));
  }

  /** @param {Event} event */
  async #submit(event) {
    event.preventDefault();
    this.errors = this.#wrong();
    if (Object.keys(this.errors).length) return;
    try {
      const fields = this.record ? this.adjust(this.typed) : this.complete({ ...this.preset, ...this.typed });
      const written = await this.household.write([
        { type: this.recordType, id: this.record?.id, fields, seen: this.seen },
      ]);
      this.reset();
      this.dispatchEvent(new CustomEvent("saved", { detail: written }));
    } catch (error) {
      this.errors = errorsOf(error);
    }
  }
}

/**
 * What was wrong, by field; under "" when it is about no field.
 * @param {any} error
 * @returns {Record<string, string>}
 */
export function errorsOf(error) {
  const details = error?.details?.length ? error.details : [{ path: "", message: error?.message }];
  return Object.fromEntries(details.map((/** @type {any} */ { path, message }) =>
    [String(path).split(".").at(-1), message ?? "That could not be saved."]));
}

/** How many of what is kept make one of what is typed. @type {Record<string, number>} */
const SCALES = { percent: 10_000, thousandths: 1000 };

const MOST_PERCENT = 1_000_000;

/**
 * What is wrong with a value before it is saved: a number that cannot be read, or what the field
 * itself checks.
 * @param {FormField} field
 * @param {any} value
 * @returns {string | undefined}
 */
function problemOf({ as, check }, value) {
  if (as in SCALES && typeof value === "string") return "A number such as 12.5, not below 0";
  if (as === "percent" && value > MOST_PERCENT) return "At most 100";
  if (as === "int" && typeof value === "string") return "A whole number such as 12, not below 0";
  return check?.(value);
}

/** @param {FormField} field @param {any} value as text in the field */
function shown(field, value) {
  if (value === null || value === undefined) return "";
  const scale = SCALES[field.as];
  if (scale && typeof value === "number") return String(value / scale);
  return String(value);
}

/** @param {FormField} field @param {string} text @returns {any} what goes into the record */
function read(field, text) {
  const scale = SCALES[field.as] ?? 1;
  if (field.as !== "int" && scale === 1) return text.trim() === "" ? null : text;
  const value = readNumber(text);
  if (value === undefined || (field.as === "int" && !Number.isInteger(value))) return text;
  return value === null ? null : Math.round(value * scale);
}

customElements.define("record-form", RecordForm);
