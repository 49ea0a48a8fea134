import { html, nothing } from "../../vendor/lit/index.js";
import { answerAsking } from "../pricing/asking-answer.js";
import { askBy, askOwn } from "../state/asking.js";
import { button } from "../ui/button.js";
import { badge, notice, tagCard } from "../ui/card.js";
import { moneyField, textField } from "../ui/field.js";
import { once } from "../ui/once.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { moneyWords } from "../ui/words.js";
import { waterfall } from "../ui/waterfall.js";
import "../ui/plot.js";
import { askingInput } from "./asking-input.js";
import { chancePlot, planTable } from "./asking-parts.js";
import { planSum } from "./asking-sums.js";
import {
  askingWorkings, bySentence, caveatWords, comingDay, evidenceSentence, fromProblem, planSentence,
  problemWords, typedSentence, worthSentence,
} from "./asking-words.js";
import { errorsOf } from "./record-form.js";

/** @typedef {import("../pricing/asking-answer.js").AskingAnswer} AskingAnswer */

const NO_PRICE = "What do you ask? An amount such as 45 or 45.50.";
const NOTHING = "Ask more than nothing: an amount such as 45 or 45.50.";

/** What to ask for a piece: the plan of drops, or a price of one's own beside it. */
export class PieceAsking extends ScreenElement {
  static properties = {
    ...ScreenElement.properties, view: { attribute: false }, price: { state: true },
    from: { state: true }, by: { state: true }, last: { state: true }, errors: { state: true },
  };

  constructor() {
    super();
    /** @type {import("../state/pieces.js").PieceView | null} */
    this.view = null;
    /** @type {number | null} minor units, typed */
    this.price = null;
    /** typed days; "" is none */
    this.from = "";
    this.by = "";
    this.last = "";
    /** @type {Record<string, string>} */
    this.errors = {};
  }

  render() {
    if (!this.household || !this.view) return nothing;
    const input = askingInput(this.household, this.view, this);
    const answer = answerAsking(this.household.book, input);
    return html`<div class="stack">
      ${answer.ok ? this.plan(answer, input) : this.refused(answer.details, input)}
      ${this.days(answer)}
      ${this.own(answer, input)}
      ${answer.ok ? this.workings(answer) : nothing}
    </div>`;
  }

  /**
   * What is wrong; where a typed day or price is, the plan is still shown without it.
   * @param {import("../pricing/find.js").Problem[]} details
   * @param {import("../pricing/for-sale.js").AskingInput} input
   */
  refused(details, input) {
    const plain = { ...input, last_on: null, by_on: null, prices: [] };
    const without = answerAsking(this.household.book, plain);
    const problems = details.filter(({ path }) => !/^(by_on|last_on|prices)/.test(path));
    return html`${without.ok ? this.plan(without, plain) : nothing}
      ${problems.map((problem) => notice({ level: "note", title: problemWords(problem) }))}`;
  }

  /** @param {AskingAnswer} answer @param {any} input */
  plan(answer, input) {
    const today = this.household.today();
    const { plan, evidence } = answer;
    const [first, ...drops] = plan.steps;
    const label = `Ask ${moneyWords(first.list)}${drops.length ? " and drop by plan" : ""}`;
    const by = bySentence(answer, today);
    return html`${tagCard({
      label: "What to ask",
      body: html`<p class="card-label">Ask
          ${evidence.level === "guess" ? badge("guess", "brass") : nothing}</p>
        <p class="card-number">${moneyWords(first.list)}</p>
        <p>${planSentence(plan, today)}</p>
        <p class="note">${worthSentence(plan.value)}</p>`,
    })}
    ${planTable(plan, today)}
    ${button({ label, kind: "go", onClick: () => this.ask(plan.steps, { input, answer }) })}
    ${by ? html`<p role="status">${by}</p>` : nothing}`;
  }

  /** By when it is to be sold. @param {ReturnType<typeof answerAsking>} answer */
  days(answer) {
    const wrong = answer.ok ? {} : byField(answer.details);
    return html`
      ${textField({
        id: "asking-by", label: "Chance to be sold by", type: "date", value: this.by,
        error: wrong.by_on, onInput: (value) => (this.by = value),
      })}
      ${textField({
        id: "asking-last", label: "It must be gone by", type: "date", value: this.last,
        hint: "left empty: the longest you usually wait", error: wrong.last_on,
        onInput: (value) => (this.last = value),
      })}`;
  }

  /** @param {ReturnType<typeof answerAsking>} answer @param {any} input */
  own(answer, input) {
    const today = this.household.today();
    const wrong = answer.ok ? {} : byField(answer.details);
    const beside = answer.ok ? typedSentence(answer, today) : null;
    return html`<form class="stack" novalidate @submit=${once((/** @type {Event} */ event) => {
      event.preventDefault();
      return this.save({ input, answer });
    })}>
      <h3>A price of your own</h3>
      ${moneyField({
        id: "asking-price", label: "Asking price", value: this.price,
        error: this.price === 0 ? NOTHING : this.errors.amount ?? wrong.prices,
        onInput: (minor) => {
          this.price = minor;
          this.errors = {};
        },
      })}
      <p class="note" role="status">${beside ?? nothing}</p>
      ${textField({
        id: "asking-from", label: "From", type: "date", value: this.from || today,
        hint: "a later day is a planned drop",
        error: fromProblem(this.from || today, today) ?? this.errors.from_on,
        onInput: (value) => (this.from = value),
      })}
      <button type="submit" class="button">Save</button>
    </form>`;
  }

  /** @param {AskingAnswer} answer */
  workings(answer) {
    const today = this.household.today();
    return html`<details class="more"><summary>Workings</summary>
      <div class="stack">
        ${waterfall("What the plan is worth", planSum(answer.plan, answer, this.household.book.money))}
        <p class="note">Each price counts with what is left of it after haggling and fees, times
          the chance to sell at it.</p>
        <dl class="facts">${askingWorkings(answer).map(({ label, words }) =>
          html`<dt>${label}</dt><dd class="figure">${words}</dd>`)}</dl>
        <crest-plot .plot=${chancePlot(answer, today)}></crest-plot>
        <p class="note">${evidenceSentence(answer.evidence)}</p>
        ${caveatWords(answer.caveats).map((text) => html`<p class="note">${text}</p>`)}
      </div></details>`;
  }

  /**
   * @param {{list: number, on: string}[]} steps
   * @param {import("../state/asking.js").Said} said
   */
  async ask(steps, said) {
    const { piece } = /** @type {import("../state/pieces.js").PieceView} */ (this.view);
    const { undo } = await askBy(this.household, piece, steps, said);
    const drops = steps.length > 1
      ? `, next drop ${comingDay(steps[1].on, this.household.today())}` : "";
    showToast({ text: `Asking ${moneyWords(steps[0].list)}${drops}.`, undo });
    this.dispatchEvent(new CustomEvent("closed"));
  }

  /** @param {import("../state/asking.js").Said} said */
  async save(said) {
    if (!this.price) {
      this.errors = { amount: this.price === 0 ? NOTHING : NO_PRICE };
      return;
    }
    const { piece } = /** @type {import("../state/pieces.js").PieceView} */ (this.view);
    const today = this.household.today();
    const price = { amount: this.price, from: this.from || today };
    if (fromProblem(price.from, today)) return;
    try {
      const { undo } = await askOwn(this.household, piece, price, said);
      showToast({ text: "The asking price is set.", undo });
      this.dispatchEvent(new CustomEvent("closed"));
    } catch (error) {
      this.errors = errorsOf(error);
    }
  }
}

/**
 * What is wrong with what was typed, by field.
 * @param {import("../pricing/find.js").Problem[]} details
 * @returns {Record<string, string>}
 */
function byField(details) {
  return Object.fromEntries(details.map((problem) =>
    [problem.path.split(".")[0], problemWords(problem)]));
}

customElements.define("piece-asking", PieceAsking);
