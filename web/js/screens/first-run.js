import { html, nothing } from "../../vendor/lit/index.js";
import { button } from "../ui/button.js";
import { tagCard } from "../ui/card.js";
import { radioChips } from "../ui/chips.js";
import { moneyField, textField } from "../ui/field.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { moneyWords } from "../ui/words.js";
import { byUse } from "./at-the-sale-find.js";
import { firstChanges, knownZone, usual } from "./first-run-numbers.js";

/** @typedef {import("./first-run-numbers.js").Answers} Answers */
/** @typedef {Record<string, any>} Live */

const KINDS_FIRST = 6;

/** The first questions, all of which can be skipped; what is used then is said beside each. */
export class FirstRun extends ScreenElement {
  /** @type {import("../../vendor/lit/index.js").PropertyDeclarations} */
  static properties = {
    answers: { state: true },
    all: { state: true },
    wrong: { state: true },
  };

  constructor() {
    super();
    /** @type {Answers | null} */
    this.answers = null;
    this.all = false;
    this.wrong = "";
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    super.willUpdate(changed);
    if (!this.household || this.answers || !this.#arrived) return;
    if (this.household.setting.set_up_at) {
      window.location.replace("#/sale");
      return;
    }
    const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
    this.answers = usual(this.household.setting, { zone, locale: navigator.language });
  }

  render() {
    if (!this.household) return nothing;
    if (!this.answers) return this.#arrived ? nothing : waitingForHome();
    return html`<form class="stack" @submit=${this.#save}>
      ${tagCard({ label: "Welcome", body: html`<div class="stack tight">
        <p><strong>What is the most to pay for a piece?</strong></p>
        <p>Crestrail answers that at the sale. It needs a few numbers of yours; skip what you don't
          know. All of it can be changed later under Household.</p>
        <div class="buttons">
          ${button({ label: "Skip it all", onClick: () => this.#skip() })}</div></div>` })}
      ${this.#time(this.answers)}
      ${this.#must(this.answers)}
      ${this.#kinds(this.answers)}
      ${this.#house(this.answers)}
      <button type="submit" class="button go">Save and go to the sale</button>
    </form>`;
  }

  /** Whether what the household has already said is on this phone. */
  get #arrived() {
    return Boolean(this.household.sync.lastHomeAt);
  }

  /** @param {Partial<Answers>} answers */
  #set(answers) {
    this.answers = /** @type {Answers} */ ({ ...this.answers, ...answers });
  }

  /** @param {Answers} answers */
  #time({ wage, minProfit, cash }) {
    return html`<section class="stack"><h2>Your time and money</h2>
      ${moneyField({ id: "wage", label: "An hour of your work is worth", value: wage,
        hint: "Photos, messages and the hand-over count as well. Skipped: $15.",
        onInput: (amount) => this.#set({ wage: amount }) })}
      ${moneyField({ id: "min-profit", label: "The least a piece must leave on top",
        hint: "Skipped: $15.", value: minProfit,
        onInput: (amount) => this.#set({ minProfit: amount }) })}
      ${moneyField({ id: "cash", label: "Cash you start with", value: cash,
        hint: "What lies in the envelope today. Skipped: nothing.",
        onInput: (amount) => this.#set({ cash: amount }) })}
    </section>`;
  }

  /** @param {Answers} answers */
  #must({ salvage }) {
    return radioChips({
      name: "salvage",
      legend: "When it must go, what part of its price does it still bring? (Skipped: a third)",
      options: [
        { value: "0", label: "Nothing" }, { value: "200000", label: "A fifth" },
        { value: "350000", label: "A third" }, { value: "500000", label: "Half" },
      ],
      value: String(salvage),
      onChange: (value) => this.#set({ salvage: Number(value) }),
    });
  }

  /** @param {Answers} answers */
  #kinds({ prices }) {
    /** @type {Live[]} */
    const kinds = byUse(this.household.all("kind"), new Map());
    if (!kinds.length) return nothing;
    const shown = this.all ? kinds : kinds.slice(0, KINDS_FIRST);
    return html`<section class="stack"><h2>What they usually bring</h2>
      <p class="note">One finished piece, sold the way you sell. The figures here are rough guesses;
        yours are better, and your own sales will be better still.</p>
      <div class="columns">${shown.map((kind) => moneyField({
        id: `kind-${kind.slug}`, label: kind.name,
        hint: kind.typical_price ? `Skipped: ${moneyWords(kind.typical_price)}` : undefined,
        value: kind.id in prices ? prices[kind.id] : kind.typical_price ?? null,
        onInput: (amount) => this.#set({ prices: { ...prices, [kind.id]: amount } }),
      }))}</div>
      ${shown.length < kinds.length
        ? button({ label: `All ${kinds.length} kinds`, onClick: () => (this.all = true) })
        : nothing}
    </section>`;
  }

  /** @param {Answers} answers */
  #house({ zone, units }) {
    return html`<section class="stack"><h2>Where you are</h2>
      ${radioChips({ name: "units", legend: "Sizes and weights in", value: units,
        options: [{ value: "us", label: "Inches and pounds" },
          { value: "metric", label: "Centimetres and kilograms" }],
        onChange: (value) => this.#set({ units: value === "us" ? "us" : "metric" }) })}
      ${textField({ id: "zone", label: "Time zone", value: zone, maxlength: 60, error: this.wrong,
        hint: "Decides on which day and in which year a sale is booked.",
        onInput: (text) => {
          this.#set({ zone: text });
          this.wrong = "";
        } })}
    </section>`;
  }

  async #skip() {
    const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
    const skipped = usual(this.household.setting, { zone, locale: navigator.language });
    await this.#write(skipped, "The usual numbers are set. Change them under Household.");
  }

  /** @param {Event} event */
  async #save(event) {
    event.preventDefault();
    const answers = /** @type {Answers} */ (this.answers);
    if (!knownZone(answers.zone)) {
      this.wrong = "This time zone is not known. Write it like America/Chicago.";
      await this.updateComplete;
      /** @type {HTMLElement | null} */ (this.querySelector("#zone"))?.focus();
      return;
    }
    await this.#write(answers, "Your numbers are saved on this phone.");
  }

  /** @param {Answers} answers @param {string} text */
  async #write(answers, text) {
    const { household } = this;
    const opened = household.setting.opened_on;
    const changes = firstChanges(answers, { id: household.id, when: household.when(), opened });
    const { undo } = await household.write(changes);
    showToast({ text, undo });
    window.location.hash = "#/sale";
  }
}

function waitingForHome() {
  return html`<div class="stack">
    <p role="status">Your household's numbers are on their way to this phone.</p>
    <p><a href="#/sale">Go on without them</a></p>
  </div>`;
}

customElements.define("screen-first-run", FirstRun);
