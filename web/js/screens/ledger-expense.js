import { html, nothing } from "../../vendor/lit/index.js";
import { fieldsOf } from "../records/groups.js";
import { onDay } from "../state/actions.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import "../ui/sheet.js";
import "./record-form.js";

/** @type {Record<string, string>} */
const CATEGORY_WORDS = { vehicle_hire: "Hired vehicle", fees: "Selling fees" };

/** @param {string} category */
function categoryWords(category) {
  return CATEGORY_WORDS[category] ?? category[0].toUpperCase() + category.slice(1);
}

/** A sheet to write down money spent that is not the purchase of a piece. */
export class LedgerExpense extends ScreenElement {
  static properties = { ...ScreenElement.properties, open: { type: Boolean } };

  constructor() {
    super();
    this.open = false;
  }

  /** @returns {import("./record-form.js").FormField[]} */
  get fields() {
    const choices = fieldsOf("expense").get("category")?.choices ?? [];
    return [
      { name: "amount", label: "Amount", as: "money" },
      {
        name: "category", label: "What for", as: "choice",
        options: choices.map((/** @type {string} */ c) => ({ value: c, label: categoryWords(c) })),
      },
      { name: "on", label: "Day", as: "date" },
      { name: "payer", label: "Who paid", as: "text" },
      { name: "note", label: "Note", as: "text" },
    ];
  }

  render() {
    const close = () => this.dispatchEvent(new CustomEvent("close"));
    const preset = this.household ? { ...this.household.when(), category: "supplies" } : {};
    return html`<crest-sheet .open=${this.open} heading="An expense" @close=${close}
      .content=${this.open ? html`<record-form recordType="expense" .household=${this.household}
        .fields=${this.fields} .preset=${preset}
        .complete=${(/** @type {any} */ typed) => ({ ...typed, ...onDay(this.household, typed.on) })}
        @closed=${close}
        @saved=${(/** @type {CustomEvent} */ event) => this.saved(event, close)}></record-form>` : nothing}
    ></crest-sheet>`;
  }

  /** @param {CustomEvent} event @param {() => void} close */
  saved(event, close) {
    showToast({ text: "Expense saved on this phone.", undo: event.detail.undo });
    close();
  }
}

customElements.define("ledger-expense", LedgerExpense);
