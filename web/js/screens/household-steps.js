import { html } from "../../vendor/lit/index.js";
import { pace } from "../pricing/effort.js";
import { PACE, timesWords } from "../pricing/words.js";
import { minutesWords, moneyWords } from "../ui/words.js";
import { RecordList } from "./record-list.js";
import { slugOf } from "./slug.js";

const CARE = [
  { value: "solvents", label: "Solvents" }, { value: "oily-rags", label: "Oily rags" },
  { value: "old-paint-dust", label: "Dust of old paint" }, { value: "lifting", label: "Lifting" },
  { value: "sharp", label: "Sharp things" },
];

/** How long a step usually takes and what it uses up, before your stints speak. */
export class HouseholdSteps extends RecordList {
  static recordType = "step";

  static one = "a step";

  intro() {
    return html`<p>For one unit: one piece, one joint, one coat. Your own timed work takes over as it
      comes in, and so do the supplies you note on a piece. Steps marked "every piece" are always
      in the plan.</p>`;
  }

  /** @returns {import("./record-form.js").FormField[]} */
  fields() {
    return [
      { name: "name", label: "Name", as: "text" },
      { name: "unit", label: "Unit", as: "text", hint: "piece, joint, coat, knob …" },
      { name: "typical_minutes", label: "Minutes for one unit", as: "int" },
      { name: "supplies_cost", label: "Supplies for one unit", as: "money" },
      { name: "standing", label: "Every piece needs it", as: "yes" },
      { name: "care", label: "Watch out for", as: "many", options: CARE },
    ];
  }

  /** @param {any} step */
  line(step) {
    const supplies = step.supplies_cost ? `, ${moneyWords(step.supplies_cost)} of supplies` : "";
    const always = step.standing ? ", every piece" : "";
    return {
      title: step.name,
      note: `${minutesWords(step.typical_minutes)} a ${step.unit || "piece"}${supplies}${always}${
        this.learned(step)}`,
    };
  }

  /** What own stints and supplies say that differs from the figures. @param {any} step */
  learned(step) {
    const { book } = this.household;
    if (!book) return "";
    const own = pace(book).find((one) => one.step === step.slug);
    const said = own && PACE[own.says];
    const time = said ? `. ${said}: ${timesWords(own.ratio)} that, from ${own.stints} you timed` : "";
    const cost = Object.hasOwn(book.steps, step.slug) ? book.steps[step.slug].supplies : null;
    return cost === null || !book.counts.used || cost === (step.supplies_cost ?? 0)
      ? time : `${time}. Reckoned with ${moneyWords(cost)} of supplies, from what you used`;
  }

  /** @param {Record<string, any>} fields */
  complete(fields) {
    const taken = this.household.all("step").map((/** @type {any} */ step) => step.slug);
    return { ...fields, slug: slugOf(String(fields.name ?? ""), taken) };
  }
}

customElements.define("household-steps", HouseholdSteps);
