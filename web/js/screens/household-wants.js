import { html } from "../../vendor/lit/index.js";
import { button } from "../ui/button.js";
import { showToast } from "../ui/toast.js";
import { ageWords, moneyWords } from "../ui/words.js";
import "./forget-person.js";
import { RecordList } from "./record-list.js";

/** Somebody wants something we don't have yet; the pad says so when such a piece turns up. */
export class HouseholdWants extends RecordList {
  static recordType = "want";

  static one = "somebody who waits";

  static properties = { ...RecordList.properties, sure: { state: true } };

  constructor() {
    super();
    /** the want that is forgotten at a second tap */
    this.sure = "";
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    super.willUpdate(changed);
    if (changed.has("open")) this.sure = "";
  }

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

  /** @param {any} want */
  more({ id }) {
    const sure = this.sure === id;
    return html`
      ${button({
        label: sure ? "Forget for good" : "Forget this person", kind: sure ? "danger" : "quiet",
        onClick: () => (sure ? this.forget(id) : (this.sure = id)),
      })}
      <p class="note">Forgetting can't be undone. Old backups and files still hold them.</p>`;
  }

  /** @param {string} id */
  async forget(id) {
    this.open = null;
    await this.household.erase("want", id);
    showToast({ text: "Forgotten, here and at home. Old backups and files still hold them." });
  }

  render() {
    return html`${super.render()}<forget-person .household=${this.household}></forget-person>`;
  }
}

customElements.define("household-wants", HouseholdWants);
