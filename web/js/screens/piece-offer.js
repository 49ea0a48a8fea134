import { html, nothing } from "../../vendor/lit/index.js";
import { answerPieceOffer } from "../pricing/offer-answer.js";
import { answerTo, othersThinking } from "../state/asking.js";
import { button } from "../ui/button.js";
import { badge, notice, tagCard } from "../ui/card.js";
import { field, moneyField } from "../ui/field.js";
import { ScreenElement } from "../ui/screen-element.js";
import { stepper } from "../ui/stepper.js";
import { showToast } from "../ui/toast.js";
import { aboutMoney, moneyWords } from "../ui/words.js";
import { waterfall } from "../ui/waterfall.js";
import { offerInput } from "./asking-input.js";
import { planTable } from "./asking-parts.js";
import { offerSums } from "./asking-sums.js";
import {
  adviceSentence, adviceWords, caveatWords, counterProblem, evidenceSentence, offerWorkings,
  problemWords,
} from "./asking-words.js";

/** @typedef {import("../pricing/offer-answer.js").OfferAnswer} OfferAnswer */

/**
 * What to say to an offer: take it, name an amount, or wait. Fires `agreed` with "sell" or "hold"
 * when it was taken, and `closed`.
 */
export class PieceOffer extends ScreenElement {
  static properties = {
    ...ScreenElement.properties, view: { attribute: false }, offer: { attribute: false },
    others: { state: true }, counter: { state: true },
  };

  constructor() {
    super();
    /** @type {import("../state/pieces.js").PieceView | null} */
    this.view = null;
    /** @type {any} the offer's record */
    this.offer = null;
    /** @type {number | null} how many others are thinking; null as the inquiries say */
    this.others = null;
    /** @type {number | null | undefined} minor units; undefined until it was touched */
    this.counter = undefined;
  }

  render() {
    if (!this.household || !this.view || !this.offer) return nothing;
    const others = this.others ?? othersThinking(this.household, this.offer);
    const input = offerInput(this.household, this.view, { offer: this.offer.amount, others });
    const answer = answerPieceOffer(this.household.book, input);
    return html`<div class="stack">
      ${answer.ok ? this.advice(answer)
        : answer.details.map((problem) => notice({ level: "note", title: problemWords(problem) }))}
      ${this.answers(answer, input)}
      ${field({ id: "offer-others", label: "Others still thinking" }, stepper({
        label: "Others still thinking", value: others, min: 0, max: 50,
        onChange: (value) => (this.others = value),
      }))}
      ${answer.ok ? this.workings(answer, input) : nothing}
    </div>`;
  }

  /** @param {OfferAnswer} answer */
  advice(answer) {
    return html`${tagCard({
      label: "What to say",
      body: html`<p class="card-label">To ${moneyWords(answer.offer)}
          ${answer.evidence.level === "guess" ? badge("guess", "brass") : nothing}</p>
        <p class="card-number">${adviceWords(answer)}</p>
        <p>${adviceSentence(answer)}</p>`,
    })}
    <table class="table">
      <caption class="unseen">What each answer is worth to you</caption>
      <thead><tr><th scope="col">Answer</th>
        <th scope="col" class="figure">Worth about</th></tr></thead>
      <tbody>${worths(answer).map(([label, value]) => html`<tr>
        <th scope="row">${label}</th><td class="figure">${aboutMoney(value)}</td></tr>`)}</tbody>
    </table>`;
  }

  /** @param {ReturnType<typeof answerPieceOffer>} answer @param {any} input */
  answers(answer, input) {
    const said = { input, answer };
    const best = answer.ok ? answer.best : "";
    const suggested = answer.ok ? counterToSay(answer) : null;
    const amount = this.counter === undefined ? this.offer.counter ?? suggested : this.counter;
    const wrong = answer.ok ? counterProblem(amount, answer) : undefined;
    const take = best === "take" ? "go" : "plain";
    return html`<div class="cluster">
      ${button({
        label: "Take it, sold now", kind: take, onClick: () => this.take("sell", null, said),
      })}
      ${button({ label: "Take it, promise it", onClick: () => this.take("hold", null, said) })}
      ${button({
        label: best === "wait" ? "Decline and wait" : "Decline",
        kind: best === "wait" ? "go" : "plain",
        onClick: () => this.say({ answer: "declined" }, said, "The offer is declined."),
      })}
    </div>
    ${moneyField({
      id: "offer-counter", label: "Say another amount", value: amount ?? null, error: wrong,
      onInput: (minor) => (this.counter = minor),
    })}
    <div class="cluster">
      ${button({
        label: amount && !wrong ? `Say ${moneyWords(amount)}` : "Say it",
        kind: best === "counter" ? "go" : "plain", disabled: !amount || Boolean(wrong),
        onClick: () => this.say({ answer: "countered", counter: amount }, said,
          `You said ${moneyWords(amount)}.`),
      })}
      ${this.offer.answer === "countered" ? button({
        label: `They agreed to ${moneyWords(this.offer.counter)}`,
        onClick: () => this.take("sell", this.offer.counter, said),
      }) : nothing}
    </div>`;
  }

  /** @param {OfferAnswer} answer @param {any} input */
  workings(answer, input) {
    return html`<details class="more"><summary>Workings</summary><div class="stack">
      ${offerSums(answer, this.household.book.money).map(({ caption, rows }) =>
        waterfall(caption, rows, { titled: true }))}
      <dl class="facts">${offerWorkings(answer, input).map(({ label, words }) =>
        html`<dt>${label}</dt><dd class="figure">${words}</dd>`)}</dl>
      <p class="note">${input.planned.length
        ? "Waiting goes by the prices you planned; “Asking price” shows what would be best:"
        : "Waiting goes by these prices:"}</p>
      ${planTable(answer.plan, this.household.today())}
      <p class="note">${evidenceSentence(answer.evidence)}</p>
      ${caveatWords(answer.caveats).map((text) => html`<p class="note">${text}</p>`)}
      <p class="note">How many of those still thinking pay in the end, and how many walk away from
        a counter, are guesses: 15 and 50 in 100.</p>
    </div></details>`;
  }

  /**
   * @param {{answer: "taken" | "countered" | "declined", counter?: number | null}} words
   * @param {import("../state/asking.js").Said} said
   * @param {string} text
   */
  async say(words, said, text) {
    const { piece } = /** @type {import("../state/pieces.js").PieceView} */ (this.view);
    const { undo } = await answerTo(this.household, piece, this.offer, words, said);
    showToast({ text, undo });
    this.dispatchEvent(new CustomEvent("closed"));
  }

  /**
   * @param {"sell" | "hold"} then
   * @param {number | null} counter the amount they agreed to, if not their own
   * @param {import("../state/asking.js").Said} said
   */
  async take(then, counter, said) {
    const amount = moneyWords(counter ?? this.offer.amount);
    await this.say({ answer: "taken", counter }, said, `Agreed on ${amount}.`);
    this.dispatchEvent(new CustomEvent("agreed", { detail: then }));
  }
}

/** The amount to say that is worth most; none where they offer the price. @param {OfferAnswer} answer */
function counterToSay({ counter, offer, price }) {
  return counter?.amount ?? (offer < price ? price : null);
}

/** @param {OfferAnswer} answer @returns {[string, number][]} the best answer first */
function worths({ take, wait, counter, offer }) {
  /** @type {[string, number][]} */
  const rows = [[`Take ${moneyWords(offer)}`, take], ["Wait", wait]];
  if (counter) rows.push([`Say ${moneyWords(counter.amount)}`, counter.value]);
  return rows.sort((a, b) => b[1] - a[1]);
}

customElements.define("piece-offer", PieceOffer);
