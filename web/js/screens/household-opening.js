import { html } from "../../vendor/lit/index.js";
import { moneyWords } from "../ui/words.js";
import { RecordList } from "./record-list.js";

/** Pieces that were there before Crestrail; what they cost may be unknown. */
export class HouseholdOpening extends RecordList {
  static recordType = "piece";

  static one = "a piece you already had";

  intro() {
    return html`<p>What it cost, if you know it. Left empty, the ledger says "cost unknown" and
      counts its sale in full.</p>`;
  }

  records() {
    return this.household.all("piece").filter((/** @type {any} */ p) => p.opening_on);
  }

  /** @returns {import("./record-form.js").FormField[]} */
  fields() {
    const kinds = this.household.all("kind")
      .map((/** @type {any} */ k) => ({ value: k.slug, label: k.name }));
    return [
      { name: "title", label: "What is it", as: "text" },
      {
        name: "kind", label: "Kind", as: "choice",
        options: [{ value: "", label: "Not said" }, ...kinds],
      },
      { name: "count", label: "How many in the set", as: "int" },
      { name: "opening_cost", label: "What it cost", as: "money", hint: "empty if you don't know" },
      { name: "note", label: "Note", as: "long" },
    ];
  }

  preset() {
    const when = this.household.when();
    return { ...when, opening_on: when.on, count: 1, traits: [] };
  }

  /** @param {any} piece */
  line(piece) {
    const cost = piece.opening_cost === null || piece.opening_cost === undefined
      ? "cost unknown" : `cost ${moneyWords(piece.opening_cost)}`;
    return { title: piece.title || "Piece without a name", note: cost };
  }
}

customElements.define("household-opening", HouseholdOpening);
