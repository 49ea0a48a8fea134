import { html, nothing } from "../../vendor/lit/index.js";
import { badge, notice } from "../ui/card.js";
import { icon } from "../ui/icons.js";
import { ScreenElement } from "../ui/screen-element.js";
import { ageWords, countWords, statusWords } from "../ui/words.js";

/**
 * @typedef {object} Part
 * @property {string} name last word of the address, and of the file `household-<name>.js`
 * @property {string} title
 * @property {import("../ui/icons.js").IconName} icon
 * @property {string} text what it is for
 */

/** @type {Part[]} */
const PARTS = [
  { name: "looks", title: "Needs settling", icon: "eye", text: "Where two people or two phones disagree" },
  { name: "sync", title: "Home and this phone", icon: "send", text: "What is not yet at home; files to carry" },
  { name: "devices", title: "Phones and computers", icon: "phone", text: "Add one, rename, remove" },
  { name: "numbers", title: "Your numbers", icon: "ledger", text: "Wage, least profit, caution, fees, goal" },
  { name: "scores", title: "How good are the numbers?", icon: "check", text: "What was said at buying, and what came of it" },
  { name: "moves", title: "What moves your prices", icon: "rail", text: "What each look is worth, from your sales" },
  { name: "kinds", title: "Kinds and prices", icon: "rail", text: "What one piece usually brings, and how soon" },
  { name: "steps", title: "Steps and minutes", icon: "work", text: "How long work usually takes you" },
  { name: "places", title: "Spots and supplies", icon: "pin", text: "Where pieces stand; what gets used up" },
  { name: "opening", title: "Opening stock", icon: "pieces", text: "Pieces you already had" },
  { name: "tags", title: "Tags to print", icon: "print", text: "Sheets of labels, with or without pieces" },
  { name: "wants", title: "People", icon: "people", text: "Who waits for what you don't have yet; forgetting somebody" },
];

/** What belongs to everybody: home, devices, numbers, lists, tags, and what needs settling. */
export class ScreenHousehold extends ScreenElement {
  static properties = { ...ScreenElement.properties, loaded: { state: true } };

  constructor() {
    super();
    /** @type {Set<string>} */
    this.loaded = new Set();
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    super.willUpdate(changed);
    if (!changed.has("route")) return;
    const part = this.chosenPart;
    if (!part) return;
    this.setTitle(part.title);
    import(`./household-${part.name}.js`).then(() => {
      this.loaded = new Set([...this.loaded, part.name]);
    });
  }

  /** The page of the household that the address names; undefined for the list of them. */
  get chosenPart() {
    const name = this.route?.parts?.[0] ?? this.route?.params?.part;
    return PARTS.find((part) => part.name === name);
  }

  render() {
    if (!this.household) return nothing;
    const part = this.chosenPart;
    if (!part) return this.index();
    return html`<div class="stack">
      <p><a class="back-link" href="#/household">${icon("back")}<span>Household</span></a></p>
      ${this.loaded.has(part.name) ? this.page(part.name) : nothing}
    </div>`;
  }

  /** @param {string} name */
  page(name) {
    const h = this.household;
    switch (name) {
      case "looks": return html`<household-looks .household=${h}></household-looks>`;
      case "sync": return html`<household-sync .household=${h}></household-sync>`;
      case "devices": return html`<household-devices .household=${h}></household-devices>`;
      case "numbers": return html`<household-numbers .household=${h}></household-numbers>`;
      case "scores": return html`<household-scores .household=${h}></household-scores>`;
      case "moves": return html`<household-moves .household=${h}></household-moves>`;
      case "kinds": return html`<household-kinds .household=${h}></household-kinds>`;
      case "steps": return html`<household-steps .household=${h}></household-steps>`;
      case "places": return html`<household-places .household=${h}></household-places>`;
      case "opening": return html`<household-opening .household=${h}></household-opening>`;
      case "tags": return html`<household-tags .household=${h}></household-tags>`;
      default: return html`<household-wants .household=${h}></household-wants>`;
    }
  }

  index() {
    const { household } = this;
    const words = statusWords(household.sync, household.now());
    return html`<div class="stack">
      <h2>${household.setting.household_name || household.name || "This household"}</h2>
      ${household.sample
        ? notice({
            level: "note", title: "An invented household",
            text: "Everything here is made up, to look around in. It is thrown away when the server stops.",
          })
        : nothing}
      <p class="soft">${words.text}. ${this.lastHome()}</p>
      <ul class="rows" role="list">
        ${PARTS.map((part) => html`<li>
          <a class="row" href="#/household/${part.name}">
            ${icon(part.icon)}
            <span class="row-text"><span class="row-title">${part.title}</span>
              <span class="note">${part.text}</span></span>
            <span class="row-end">${this.count(part.name)}</span>
          </a>
        </li>`)}
      </ul>
    </div>`;
  }

  lastHome() {
    const { lastHomeAt } = this.household.sync;
    return lastHomeAt
      ? `Last home ${ageWords(new Date(lastHomeAt), this.household.now())}.`
      : "Not home yet.";
  }

  /** @param {string} name what waits behind a line of the list */
  count(name) {
    if (name !== "looks") return nothing;
    const open = this.household.all("look").filter((/** @type {any} */ l) => !l.settled_at).length;
    return open ? badge(countWords(open, "thing"), "brass") : badge("nothing", "pine");
  }
}

customElements.define("screen-household", ScreenHousehold);
