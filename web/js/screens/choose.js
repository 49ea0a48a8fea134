import { html, nothing } from "../../vendor/lit/index.js";
import { MOST_FINDS } from "../pricing/choosing.js";
import { chooseBest } from "../state/choosing.js";
import { buyEach } from "../state/finds.js";
import { runningOuting } from "../state/outing.js";
import { button } from "../ui/button.js";
import { emptyState, notice, tagCard } from "../ui/card.js";
import { moneyField, textField } from "../ui/field.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { aboutMoney, countWords, minutesWords, moneyWords } from "../ui/words.js";
import { DRAFT, fromDraft } from "./at-the-sale-find.js";
import { findName } from "./at-the-sale-together.js";
import { NOW, atPrice, candidates, leftOutWords, leftOver } from "./choose-finds.js";

/** @typedef {import("./choose-finds.js").Candidate} Candidate */
/** @typedef {ReturnType<typeof atPrice>} Worth */
/** @typedef {{one: Candidate, price: number | null, at: Worth}} Weighed */

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
    this.recordsChanged();
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

  /** @returns {{typed: Record<string, any>, numbers: Record<string, number>}} */
  #limits() {
    const usual = leftOver(runningOuting(this.household), this.household.setting);
    const hours = usual.minutes === null ? "" : String(Math.round(usual.minutes / 6) / 10);
    const typed = {
      cash: usual.cash, hours, litres: String(usual.litres ?? ""), ...this.limits,
    };
    const numbers = {
      ...(typed.cash === null ? {} : { cash: typed.cash }),
      ...number("minutes", typed.hours, 60),
      ...number("litres", typed.litres, 1),
    };
    return { typed, numbers };
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
    if (!result?.ok) {
      return notice({ level: "warn", title: weighed.length > MOST_FINDS
        ? `At most ${MOST_FINDS} finds at once: take some out` : "That cannot be reckoned",
      text: weighed.length > MOST_FINDS ? "" : result?.details?.[0]?.message });
    }
    const able = weighed.filter(({ at }) => at.worth);
    const chosen = result.chosen.map((/** @type {number} */ i) => able[i]);
    return html`${tagCard({ label: "What to buy", body: this.#buy(chosen, weighed.length) })}
      ${this.#leave(weighed, able)}`;
  }

  /** @param {Weighed[]} chosen @param {number} of */
  #buy(chosen, of) {
    const { used, proven, searching } = this.result;
    const clear = chosen.reduce((sum, { at }) => sum + at.clear, 0);
    const sure = proven ? "Nothing better is possible with these numbers."
      : searching ? "The best so far: still looking." : "The best that was found: not proven.";
    return html`<div class="stack tight">
      <p><span class="card-label">Buy</span>
        <strong class="card-number choose-number">${chosen.length} of ${of}</strong></p>
      <ul class="rows" role="list">${chosen.map(({ one, price }) => html`<li class="row">
        <span class="row-text row-title">${this.#name(one)}</span>
        <strong class="row-end figure">${moneyWords(price)}</strong></li>`)}</ul>
      ${chosen.length ? html`<dl class="facts">
        <dt>Paid in all</dt><dd>${moneyWords(used.cash)}</dd>
        <dt>Work</dt><dd>${minutesWords(used.minutes)}</dd>
        <dt>Room</dt><dd>${used.litres} litres</dd>
        <dt>Clear, likely</dt><dd>${aboutMoney(clear)}</dd></dl>` : nothing}
      <p class="note" role="status">${chosen.length ? sure : "None of them at these prices."}</p>
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
      this.limits = { ...this.limits, [name]: value };
    };
    return html`<section class="stack tight"><h2>With what you have</h2>
      <p class="note">What is empty does not matter.</p>
      <div class="columns">
        ${moneyField({ id: "choose-cash", label: "Cash left", value: typed.cash,
          onInput: put("cash") })}
        ${textField({ id: "choose-hours", label: "Hours of work left", inputmode: "decimal",
          value: typed.hours, error: wrong(typed.hours), onInput: put("hours") })}
        ${textField({ id: "choose-litres", label: "Room left in the car, litres",
          inputmode: "decimal", value: typed.litres, error: wrong(typed.litres),
          onInput: put("litres") })}
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
        @change=${() => (this.ticks = { ...this.ticks, [one.key]: !isIn })} />
        <span>${name}${one.key === NOW ? " (on the pad)" : one.passed ? " (passed)" : ""}</span>
      </label>
      ${isIn ? moneyField({ id: `price-${one.key}`, label: "Price",
        value: one.key in this.prices ? this.prices[one.key] : one.usual,
        onInput: (price) => (this.prices = { ...this.prices, [one.key]: price }) }) : nothing}
    </div></li>`;
  }

  /** @param {Candidate} one */
  #name({ look }) {
    return findName(look.view.kinds, look.find);
  }

  /** @param {Weighed[]} chosen */
  async #bought(chosen) {
    const { draft } = this;
    const each = chosen.map(({ one: { look }, price }) => ({ look, paid: price ?? 0 }));
    const withPad = chosen.some(({ one }) => one.key === NOW);
    if (withPad) this.draft = fromDraft(null);
    const { undo } = await buyEach(this.household, each).catch((error) => {
      this.draft = draft;
      throw error;
    });
    if (withPad) await this.household.saveDraft(DRAFT, null);
    const back = async () => {
      await undo();
      if (withPad) await this.household.saveDraft(DRAFT, draft);
      this.draft = draft;
      this.recordsChanged();
    };
    const text = `${countWords(chosen.length, "piece")} bought. Saved on this phone.`;
    showToast({ text, undo: back });
  }
}

/**
 * @param {string} name
 * @param {unknown} text
 * @param {number} times
 */
function number(name, text, times) {
  const value = Number(String(text).replace(",", "."));
  const said = String(text).trim() !== "" && Number.isFinite(value) && value >= 0;
  return said ? { [name]: Math.min(1e9, Math.floor(value * times)) } : {};
}

/** @param {unknown} text @returns {string | undefined} */
function wrong(text) {
  const blank = String(text).trim() === "";
  return blank || "x" in number("x", text, 1) ? undefined : "Write a number such as 3.5";
}

customElements.define("screen-choose", ChooseFinds);
