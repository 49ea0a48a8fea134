import { html, nothing } from "../../vendor/lit/index.js";
import { forget, mentionsOf } from "../state/people.js";
import { button } from "../ui/button.js";
import { textField } from "../ui/field.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { countWords, dayWords, moneyWords } from "../ui/words.js";
import { pieceName } from "./piece-words.js";

/** @typedef {import("../state/people.js").Mention} Mention */

/** @type {Record<string, string>} */
const NAMES = {
  sale: "Sale", payment: "Payment", return: "Return", offer: "Offer", hold: "Promise",
  inquiry: "Inquiry", want: "Wish", delivery: "Drive", purchase: "Purchase", stop: "Sale visited",
  expense: "Expense", cash_move: "Cash put in or taken out", seen_elsewhere: "Seen elsewhere",
  piece: "Piece", photo: "Photo", outing: "Outing", stint: "Work", supply: "Supply", spot: "Spot",
  setting: "Your numbers",
};
const HOW = {
  erase: "taken out whole", keep: "the money and the day stay, the person goes",
  elsewhere: "your own words: change them there",
};

/**
 * One person forgotten everywhere: what was written with a name, a number or a street is found,
 * shown with what will happen to it, and taken out for good at the second tap.
 */
export class ForgetPerson extends ScreenElement {
  static properties = {
    ...ScreenElement.properties, text: { state: true }, sure: { state: true },
  };

  constructor() {
    super();
    this.text = "";
    this.sure = false;
  }

  render() {
    if (!this.household) return nothing;
    const found = mentionsOf(this.household, this.text);
    return html`<section class="stack tight">
      <h2>Forget somebody</h2>
      <p>Who asked, bought or sold and does not want to stand here. Nothing is sent out to look.</p>
      ${textField({
        id: "forget-whom", label: "Name, number or street", value: this.text, type: "search",
        hint: "at least two letters; everything that holds them is listed",
        onInput: (text) => {
          this.text = text;
          this.sure = false;
        },
      })}
      ${this.text.trim().length < 2 ? nothing : this.found(found)}
    </section>`;
  }

  /** @param {Mention[]} found */
  found(found) {
    if (!found.length) return html`<p role="status">Nothing here holds that.</p>`;
    const count = found.filter(({ how }) => how !== "elsewhere").length;
    return html`<p role="status">${countWords(found.length, "entry", "entries")}.</p>
      <ul class="rows" role="list">${found.map((one) => html`<li class="row">
        <span class="row-text"><span class="row-title">${this.words(one)}</span>
          <span class="note">${HOW[one.how]}</span></span></li>`)}</ul>
      ${count ? button({
        label: this.sure ? "Forget for good" : `Forget in ${countWords(count, "entry", "entries")}`,
        kind: this.sure ? "danger" : "plain",
        onClick: () => (this.sure ? this.forget(found) : (this.sure = true)),
      }) : nothing}
      <p class="note">It can't be undone. Old backups and files still hold them.</p>`;
  }

  /** @param {Mention} one */
  words({ type, id, fields }) {
    const { household } = this;
    const about = type === "piece" ? id : fields.piece_id;
    const piece = about && household.get("piece", about);
    const money = fields.price ?? fields.amount ?? fields.total;
    const day = fields.on ? dayWords(fields.on, household.today()) : "";
    const more = [Number.isFinite(money) ? moneyWords(money) : "", day].filter(Boolean).join(", ");
    return html`${NAMES[type] ?? type}${piece
      ? html` of <a href="#/pieces/${about}">${pieceName(household, piece)}</a>` : nothing}${
      more ? `, ${more}` : ""}`;
  }

  /** @param {Mention[]} found */
  async forget(found) {
    const count = await forget(this.household, found);
    this.text = "";
    this.sure = false;
    showToast({
      text: `Forgotten in ${countWords(count, "entry", "entries")}, here and at home. Old backups and files still hold them.`,
    });
  }
}

customElements.define("forget-person", ForgetPerson);
