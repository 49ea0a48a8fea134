import { html, nothing } from "../../vendor/lit/index.js";
import { sell, usualFee } from "../state/actions.js";
import { notice } from "../ui/card.js";
import { radioChips } from "../ui/chips.js";
import { moneyField, textField } from "../ui/field.js";
import { once } from "../ui/once.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { moneyWords } from "../ui/words.js";
import { errorsOf } from "./record-form.js";

const WAYS = [
  { value: "pickup", label: "They pick it up" }, { value: "delivery", label: "We bring it" },
  { value: "shipped", label: "Shipped" },
];
const WHEN = [{ value: "now", label: "Handed over now" }, { value: "later", label: "Paid, goes later" }];

/** The sale of a piece: price, fee, how and whether it has left. */
export class SellForm extends ScreenElement {
  static properties = {
    ...ScreenElement.properties, piece: { type: String }, asking: { type: Number },
    price: { state: true }, fee: { state: true }, delivery: { state: true },
    buyer: { state: true }, on: { state: true }, way: { state: true }, left: { state: true }, errors: { state: true },
  };

  constructor() {
    super();
    this.piece = "";
    /** @type {number | null} minor units */
    this.asking = null;
    /** @type {number | null | undefined} undefined until it was touched */
    this.price = undefined;
    /** @type {number | null | undefined} */
    this.fee = undefined;
    /** @type {number | null} */
    this.delivery = null;
    this.buyer = "";
    /** the day of the sale; "" is today */
    this.on = "";
    this.way = "pickup";
    this.left = "now";
    /** @type {Record<string, string>} */
    this.errors = {};
  }

  /** What they pay: the asking price until something else is typed. */
  get paid() {
    return this.price === undefined ? this.asking : this.price;
  }

  /** The fee: the usual one of the price until something else is typed. */
  get charged() {
    if (this.fee !== undefined) return this.fee;
    return this.paid === null ? null : usualFee(this.household, this.paid);
  }

  render() {
    if (!this.household) return nothing;
    return html`<form class="stack" novalidate 
      @submit=${once((/** @type {Event} */ event) => this.submit(event))}>
      ${moneyField({
        id: "sold-price", label: "They pay", value: this.paid, error: this.errors.price,
        onInput: (minor) => (this.price = minor),
      })}
      ${moneyField({
        id: "sold-fee", label: "Fee", hint: "what the market keeps of it", value: this.charged,
        error: this.errors.fee, step: 100, onInput: (minor) => (this.fee = minor),
      })}
      ${radioChips({
        name: "sold-way", legend: "Hand-over", options: WAYS, value: this.way,
        onChange: (value) => (this.way = value),
      })}
      ${this.way === "pickup" ? nothing : moneyField({
        id: "sold-delivery", label: "They pay for bringing it", value: this.delivery,
        error: this.errors.delivery_charged, onInput: (minor) => (this.delivery = minor),
      })}
      ${radioChips({
        name: "sold-left", legend: "Has it left", options: WHEN, value: this.left,
        onChange: (value) => (this.left = value),
      })}
      ${textField({
        id: "sold-on", label: "Day", type: "date", value: this.on || this.household.today(),
        error: this.errors.on ?? this.errors.at, hint: "it decides month and tax year",
        onInput: (value) => (this.on = value),
      })}
      ${textField({
        id: "sold-buyer", label: "To whom (first name)", value: this.buyer,
        error: this.errors.buyer, onInput: (value) => (this.buyer = value),
      })}
      ${this.errors[""] ? notice({ level: "warn", title: this.errors[""] }) : nothing}
      <button type="submit" class="button go">Save the sale</button>
    </form>`;
  }

  /** @param {Event} event */
  async submit(event) {
    event.preventDefault();
    if (this.paid === null) {
      this.errors = { price: "What do they pay? An amount such as 45 or 45.50." };
      return;
    }
    try {
      const { undo } = await sell(this.household, this.piece, {
        price: this.paid, fee: this.charged ?? 0, delivery_charged: this.delivery ?? 0,
        buyer: this.buyer || null, on: this.on || undefined, handedOver: this.left === "now",
        handover: /** @type {"pickup"} */ (this.way),
      });
      showToast({ text: `Sold for ${moneyWords(this.paid)}. Saved on this phone.`, undo });
      this.dispatchEvent(new CustomEvent("closed"));
    } catch (error) {
      this.errors = errorsOf(error);
    }
  }
}

customElements.define("sell-form", SellForm);
