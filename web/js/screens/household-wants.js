import { html } from "../../vendor/lit/index.js";
import { ageWords, moneyWords } from "../ui/words.js";
import { RecordList } from "./record-list.js";

/** Somebody wants something we don't have yet; the pad says so when such a piece turns up. */
export class HouseholdWants extends RecordList {
  static recordType = "want";

  static one = "somebody who waits";

  intro() {
    return html`<p>At the sale, a find of that kind says that somebody is waiting.</p>`;
  }

  records() {
    return [...this.household.all("want")].reverse();
  }

  /** @returns {import("./record-form.js").FormField[]} */
  fields() {
    const options = (/** @type {string} */ type) => this.household.all(type)
      .map((/** @type {any} */ r) => ({ value: r.slug, label: r.name }));
    return [
      { name: "name", label: "First name", as: "text" },
      { name: "contact", label: "How to reach them", as: "text" },
      {
        name: "kind", label: "Kind", as: "choice",
        options: [{ value: "", label: "Any" }, ...options("kind")],
      },
      { name: "traits", label: "It should be", as: "many", options: options("trait") },
      { name: "limit", label: "Would pay up to", as: "money" },
      { name: "note", label: "In their words", as: "long" },
      { name: "until_on", label: "Until", as: "date" },
    ];
  }

  preset() {
    return this.household.when();
  }

  /** @param {any} want */
  line(want) {
    const kind = this.household.where("kind", "slug", want.kind)[0]?.name ?? "Anything";
    const limit = want.limit ? `, up to ${moneyWords(want.limit)}` : "";
    const met = want.met_at ? "met, " : "";
    return {
      title: `${want.name || "Somebody"}: ${kind.toLowerCase()}${limit}`,
      note: `${met}asked ${ageWords(want.at, this.household.now())}${want.note ? ` · ${want.note}` : ""}`,
    };
  }
}

customElements.define("household-wants", HouseholdWants);
