import { html, nothing } from "../../vendor/lit/index.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { knownZone } from "./first-run-numbers.js";
import "./record-form.js";

/** @type {{title: string, fields: import("./record-form.js").FormField[]}[]} */
const SECTIONS = [
  {
    title: "What the most to pay is worked out with",
    fields: [
      { name: "wage_per_hour", label: "An hour of yours is worth", as: "money" },
      {
        name: "wage_covers", label: "Hours that count", as: "choice",
        options: [
          { value: "everything", label: "All of them, photos and hand-over too" },
          { value: "bench", label: "The bench only" },
        ],
      },
      { name: "min_profit", label: "Least profit a piece must promise", as: "money" },
      {
        name: "tolerance_ppm", label: "Chance of a loss you accept, %", as: "percent",
        hint: "usual: 35. Below about 12 almost nothing can be bought.",
      },
      {
        name: "salvage_ppm", label: "When it must go, it still brings, % of likely", as: "percent",
      },
      { name: "fee_ppm", label: "Selling fee, % of the price", as: "percent" },
      { name: "fee_fixed", label: "Selling fee, fixed", as: "money" },
      { name: "delivery_cost", label: "Bringing one piece costs you", as: "money" },
      { name: "hold_per_day", label: "Keeping one piece a day costs", as: "money" },
      { name: "per_mile", label: "A mile in the car costs", as: "money" },
      { name: "note_step", label: "Round the answer down to", as: "money" },
    ],
  },
  {
    title: "The goal and the start",
    fields: [
      { name: "goal_name", label: "Saving for", as: "text" },
      { name: "goal_amount", label: "It costs", as: "money" },
      { name: "cash_start", label: "Cash at the start", as: "money" },
      { name: "opened_on", label: "First day of the books", as: "date" },
    ],
  },
  {
    title: "The household",
    fields: [
      { name: "household_name", label: "Name", as: "text" },
      {
        name: "time_zone", label: "Time zone", as: "text", check: zoneProblem,
        hint: "such as America/Chicago; decides days and tax years",
      },
      {
        name: "units", label: "Sizes and weights in", as: "choice",
        options: [{ value: "us", label: "Inches and pounds" }, { value: "metric", label: "Centimetres and kilograms" }],
      },
      { name: "load_litres", label: "Room in the car, litres", as: "int" },
      {
        name: "hand", label: "Buttons under the thumb of the", as: "choice",
        options: [{ value: "right", label: "Right hand" }, { value: "left", label: "Left hand" }],
      },
      { name: "pickup_note", label: "Pickup words for a listing", as: "long" },
    ],
  },
];

/** @param {string | null} zone */
function zoneProblem(zone) {
  return knownZone(zone ?? "") ? undefined : "No time zone has this name: write it like Europe/Paris";
}

/** The household's own numbers and habits, one record of settings in three parts. */
export class HouseholdNumbers extends ScreenElement {
  render() {
    if (!this.household) return nothing;
    const record = { id: this.household.id, ...this.household.setting };
    return html`<div class="stack">
      ${SECTIONS.map((section) => html`<section class="stack">
        <h2>${section.title}</h2>
        <record-form recordType="setting" .household=${this.household} .record=${record}
          .fields=${section.fields} .closable=${false} @saved=${this.#saved}></record-form>
      </section>`)}
    </div>`;
  }

  /** @param {CustomEvent} event */
  #saved(event) {
    showToast({ text: "Saved on this phone. Goes home with the next sync.", undo: event.detail.undo });
  }
}

customElements.define("household-numbers", HouseholdNumbers);
