import { html, nothing } from "../../vendor/lit/index.js";
import { MOST_FINDS } from "../pricing/choosing.js";
import { chooseBest } from "../state/choosing.js";
import { buyEach } from "../state/finds.js";
import { runningOuting } from "../state/outing.js";
import { button } from "../ui/button.js";
import { badge, emptyState, notice, tagCard } from "../ui/card.js";
import { moneyField, textField } from "../ui/field.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { aboutMoney, countWords, minutesWords, moneyWords } from "../ui/words.js";
import { DRAFT, fromDraft } from "./at-the-sale-find.js";
import { findName } from "./at-the-sale-together.js";
import {
  NOW, atPrice, candidates, isGuess, isUnread, leftOutWords, leftOver, lessBought, limitOf,
} from "./choose-finds.js";
import { choiceWorkings } from "./choose-workings.js";

/** @typedef {import("./choose-finds.js").Candidate} Candidate */
/** @typedef {ReturnType<typeof atPrice>} Worth */
/** @typedef {{one: Candidate, price: number | null, at: Worth}} Weighed */

/** What was ticked and typed here is kept under this name for the day. */
const KEPT = "choose";
const UNREAD = {
  hours: "Hours are a number such as 3.5. Until it is one, they do not count.",
  litres: "Litres are a number such as 350. Until it is one, room does not count.",
};

/** Which of today's finds to buy within one's cash, hours and room. */
export class ChooseFinds extends ScreenElement {
  static properties = {
    .../** @type {any} */ (ScreenElement).properties,
    finds: { state: true },
    ticks: { state: true },
    prices: { state: true },
    limits: { state: true },
    result: { state: true },
  };

  constructor() {
    super();
    /** @type {Candidate[] | null} */
    this.finds = null;
    /** @type {any} what stands on the pad */
    this.draft = fromDraft(null);
    /** @type {Record<string, boolean>} what was ticked or unticked by hand */
    this.ticks = {};
    /** @type {Record<string, number | null>} what was typed over */
    this.prices = {};
    /** @type {Record<string, string | number | null>} what was typed over: hours and room as text */
    this.limits = {};
    /** @type {any} */
    this.result = null;
    this.asked = "";
    this.stop = () => {};
  }

  async connectedCallback() {
    super.connectedCallback();
    this.setTitle("Which of these");
    if (!this.household) return;
    this.draft = fromDraft(await this.household.draft(DRAFT));
    const kept = await this.household.draft(KEPT);
    if (kept?.on === this.household.today()) this.#take(kept);
    else if (kept) await this.household.saveDraft(KEPT, null);
    this.recordsChanged();
  }

  /** @param {any} typed */
  #take({ ticks, prices, limits }) {
    Object.assign(this, { ticks, prices, limits });
  }

  /**
   * What was ticked or typed, to be found again on coming back.
   * @param {Partial<Pick<ChooseFinds, "ticks" | "prices" | "limits">>} typed
   */
  #keep(typed) {
    Object.assign(this, typed);
    const { ticks, prices, limits, household } = this;
    return household.saveDraft(KEPT, { on: household.today(), ticks, prices, limits });
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.stop();
  }

  /** Finds are read when records change, not with every key. */
  recordsChanged() {
    this.finds = candidates(this.household, this.draft);
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    super.willUpdate(changed);
    if (this.finds) this.#choose(this.#weighed());
  }

  /** @param {Candidate} one */
  #isIn(one) {
    return this.ticks[one.key] ?? !one.passed;
  }

  /** @returns {Weighed[]} the finds in the running at their prices */
  #weighed() {
    return (this.finds ?? []).filter((one) => this.#isIn(one)).map((one) => {
      const price = one.key in this.prices ? this.prices[one.key] : one.usual;
      return { one, price, at: atPrice(this.household.book, one, price) };
    });
  }

  /** @returns {{typed: Record<string, any>, numbers: Record<string, number>, unread: boolean}} */
  #limits() {
    const usual = leftOver(runningOuting(this.household), this.household.setting);
    const hours = usual.minutes === null ? "" : String(Math.round(usual.minutes / 6) / 10);
    const typed = {
      cash: usual.cash, hours, litres: String(usual.litres ?? ""), ...this.limits,
    };
    const numbers = {
      ...(typed.cash === null ? {} : { cash: typed.cash }),
      ...limitOf("minutes", typed.hours, 60),
      ...limitOf("litres", typed.litres, 1),
    };
    return { typed, numbers, unread: [typed.hours, typed.litres].some(isUnread) };
  }

  /** @param {Weighed[]} weighed */
  #choose(weighed) {
    const worths = weighed.flatMap(({ at }) => (at.worth ? [at.worth] : []));
    const { numbers } = this.#limits();
    const asked = JSON.stringify([worths, numbers]);
    if (asked === this.asked) return;
    this.asked = asked;
    this.stop();
    const { answer, stop } = chooseBest(worths, numbers, (better) => (this.result = better));
    this.stop = stop;
    this.result = answer;
  }

  render() {
    if (!this.household || !this.finds) return nothing;
    if (!this.finds.length) {
      return emptyState({
        icon: "rail", title: "Nothing to choose from yet",
        text: "Leave finds for later on the pad: here you see which of them to buy with the cash, "
          + "hours and room you have.",
        action: html`<a class="button go" href="#/sale">To the pad</a>`,
      });
    }
    const weighed = this.#weighed();
    return html`<div class="panes choose">
      <div class="stack">${this.#card(weighed)}</div>
      <div class="stack">${this.#limitFields()} ${this.#list()}</div>
    </div>`;
  }

  /** @param {Weighed[]} weighed */
  #card(weighed) {
    const { result } = this;
    const over = weighed.length - MOST_FINDS;
    if (over > 0) {
      return notice({ level: "warn", title: `At most ${MOST_FINDS} finds at once`,
        text: `Untick ${over} of the ${weighed.length} below.` });
    }
    if (!result?.ok) {
      return notice({ level: "warn", title: "That cannot be reckoned",
        text: result?.details?.[0]?.message });
    }
    if (!weighed.length) {
      return notice({ level: "note", title: "No find is ticked",
        text: "Tick those below that you would buy." });
    }
    const able = weighed.filter(({ at }) => at.worth);
    const chosen = result.chosen.map((/** @type {number} */ i) => able[i]);
    return html`${tagCard({ label: "What to buy", body: html`${this.#buy(chosen, weighed.length)}
        ${choiceWorkings(chosen.map((/** @type {Weighed} */ { one, at }) =>
          ({ name: this.#name(one), at })))}` })}
      ${this.#leave(weighed, able)}`;
  }

  /** @param {Weighed[]} chosen @param {number} of */
  #buy(chosen, of) {
    const { used, out, proven, searching } = this.result;
    const clear = chosen.reduce((sum, { at }) => sum + at.clear, 0);
    const none = out.some((/** @type {any} */ { why }) => why.length && why[0] !== "not_worth")
      ? "None of them fits what you have." : "None of them at these prices.";
    const sure = this.#limits().unread ? "Found without the limit that cannot be read."
      : proven ? "Nothing better is possible with these numbers."
      : searching ? "The best so far: still looking." : "The best that was found: not proven.";
    return html`<div class="stack tight">
      <p><span class="card-label">Buy</span>
        ${isGuess(chosen) ? badge("guess", "brass") : nothing}
        <strong class="card-number choose-number">${chosen.length} of ${of}</strong></p>
      <ul class="rows" role="list">${chosen.map(({ one, price }) => html`<li class="row">
        <span class="row-text row-title">${this.#name(one)}</span>
        <strong class="row-end figure">${moneyWords(price)}</strong></li>`)}</ul>
      ${chosen.length ? html`<dl class="facts">
        <dt>Paid in all</dt><dd class="figure">${moneyWords(used.cash)}</dd>
        <dt>Work</dt><dd class="figure">${minutesWords(used.minutes)}</dd>
        <dt>Room</dt><dd class="figure">${used.litres} litres</dd>
        <dt>Clear, likely</dt><dd class="figure">${aboutMoney(clear)}</dd></dl>` : nothing}
      <p class="note" role="status">${chosen.length ? sure : none}</p>
      ${chosen.length ? button({ label: chosen.length === 1 ? "Bought at this price"
        : `All ${chosen.length} bought at these prices`, kind: "go",
      onClick: () => this.#bought(chosen) }) : nothing}</div>`;
  }

  /** @param {Weighed[]} weighed @param {Weighed[]} able */
  #leave(weighed, able) {
    const { out, left } = this.result;
    const why = new Map(out.map((/** @type {any} */ o) => [
      able[o.find].one.key, leftOutWords(o.why, /** @type {any} */ (able[o.find].at.worth), left),
    ]));
    const rows = weighed.map(({ one, at }) => ({ one, text: at.out ?? why.get(one.key) }))
      .filter(({ text }) => text);
    if (!rows.length) return nothing;
    return html`<section class="stack tight"><h2>Leave</h2>
      <ul class="rows" role="list">${rows.map(({ one, text }) => html`<li class="row">
        <div class="row-text"><span class="row-title">${this.#name(one)}</span>
          <span class="note">${text}</span></div></li>`)}</ul></section>`;
  }

  #limitFields() {
    const { typed } = this.#limits();
    const put = (/** @type {string} */ name) => (/** @type {any} */ value) => {
      this.#keep({ limits: { ...this.limits, [name]: value } });
    };
    return html`<section class="stack tight"><h2>With what you have</h2>
      <p class="note">What is empty does not matter.</p>
      <div class="columns">
        ${moneyField({ id: "choose-cash", label: "Cash left", value: typed.cash,
          onInput: put("cash") })}
        ${textField({ id: "choose-hours", label: "Hours of work left", inputmode: "decimal",
          value: typed.hours, error: isUnread(typed.hours) ? UNREAD.hours : undefined,
          onInput: put("hours") })}
        ${textField({ id: "choose-litres", label: "Room left in the car, litres",
          inputmode: "decimal", value: typed.litres,
          error: isUnread(typed.litres) ? UNREAD.litres : undefined, onInput: put("litres") })}
      </div></section>`;
  }

  #list() {
    return html`<section class="stack tight"><h2>Today's finds</h2>
      <p class="note">Each at what they ask, else at the most to pay. Change what you think you
        would pay.</p>
      <ul class="rows" role="list">${(this.finds ?? []).map((one) => this.#row(one))}</ul>
      <a class="button" href="#/load">Does it all go in the car?</a></section>`;
  }

  /** @param {Candidate} one */
  #row(one) {
    const [name, isIn] = [this.#name(one), this.#isIn(one)];
    return html`<li><div class="choose-row" role="group" aria-label=${name}>
      <label class="switch"><input type="checkbox" .checked=${isIn}
        @change=${() => this.#keep({ ticks: { ...this.ticks, [one.key]: !isIn } })} />
        <span>${name}${one.key === NOW ? " (on the pad)" : one.passed ? " (passed)" : ""}</span>
      </label>
      ${isIn ? moneyField({ id: `price-${one.key}`, label: "Price",
        value: one.key in this.prices ? this.prices[one.key] : one.usual,
        onInput: (price) => this.#keep({ prices: { ...this.prices, [one.key]: price } }),
      }) : nothing}
    </div></li>`;
  }

  /** @param {Candidate} one */
  #name({ look }) {
    return findName(look.view.kinds, look.find);
  }

  /** @param {Weighed[]} chosen */
  async #bought(chosen) {
    const { draft, ticks, prices, limits } = this;
    const { used } = this.result;
    const each = chosen.map(({ one: { look }, price }) => ({ look, paid: price ?? 0 }));
    const withPad = chosen.some(({ one }) => one.key === NOW);
    if (withPad) this.draft = fromDraft(null);
    const { undo } = await buyEach(this.household, each).catch((error) => {
      this.draft = draft;
      throw error;
    });
    if (withPad) await this.household.saveDraft(DRAFT, null);
    await this.#keep({ limits: lessBought(limits, used) });
    const back = async () => {
      await undo();
      if (withPad) await this.household.saveDraft(DRAFT, draft);
      this.draft = draft;
      await this.#keep({ ticks, prices, limits });
      this.recordsChanged();
    };
    const text = `${countWords(chosen.length, "piece")} bought. Saved on this phone.`;
    showToast({ text, undo: back });
  }
}

customElements.define("screen-choose", ChooseFinds);
