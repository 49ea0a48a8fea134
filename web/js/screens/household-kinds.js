import { html } from "../../vendor/lit/index.js";
import { moneyWords } from "../ui/words.js";
import { RecordList } from "./record-list.js";
import { slugOf } from "./slug.js";

const SURENESS = [
  { value: "sure", label: "Sure" }, { value: "fair", label: "Fairly sure" },
  { value: "guess", label: "A guess" },
];
const CARE = [
  { value: "upholstered", label: "Upholstered" },
  { value: "mattress-or-bedding", label: "Mattress or bedding" },
  { value: "children", label: "For children" }, { value: "storage-unit", label: "Drawers or doors" },
  { value: "glass", label: "Glass" }, { value: "heavy", label: "Heavy" },
  { value: "powered", label: "Powered" }, { value: "mirror", label: "Mirror" },
  { value: "painted", label: "Painted" },
];

/** What one piece of each kind usually brings and how long it stands, before your sales speak. */
export class HouseholdKinds extends RecordList {
  static recordType = "kind";

  static one = "a kind";

  intro() {
    return html`<p>One finished piece in fair to good order, sold the way you sell. Your own sales
      take over as they come in.</p>`;
  }

  /** @returns {import("./record-form.js").FormField[]} */
  fields() {
    return [
      { name: "name", label: "Name", as: "text" },
      { name: "typical_price", label: "One usually brings", as: "money" },
      { name: "sureness", label: "How sure are you", as: "choice", options: SURENESS },
      { name: "typical_days", label: "Days it usually stands", as: "int", hint: "from listed to sold" },
      { name: "typical_litres", label: "Room it takes in the car, litres", as: "int" },
      { name: "care", label: "Watch out for", as: "many", options: CARE },
    ];
  }

  /** @param {any} kind */
  line(kind) {
    const days = kind.typical_days ? `, stands ${kind.typical_days} days` : "";
    return { title: kind.name, note: `brings ${moneyWords(kind.typical_price)}${days}` };
  }

  /** @param {Record<string, any>} fields */
  complete(fields) {
    const taken = this.household.all("kind").map((/** @type {any} */ kind) => kind.slug);
    return { sureness: "guess", ...fields, slug: slugOf(String(fields.name ?? ""), taken) };
  }
}

customElements.define("household-kinds", HouseholdKinds);
