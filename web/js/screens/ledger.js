import { html, nothing } from "../../vendor/lit/index.js";
import { booksOf } from "../state/pieces.js";
import { button } from "../ui/button.js";
import { emptyState, tagCard } from "../ui/card.js";
import { radioChips } from "../ui/chips.js";
import { ScreenElement } from "../ui/screen-element.js";
import { countWords, minutesWords, moneyWords } from "../ui/words.js";
import { earningsPlot, goalLine, perHourWords } from "./ledger-parts.js";
import "../ui/plot.js";
import "./ledger-cash.js";
import "./ledger-expense.js";

const VIEWS = [
  { value: "pieces", label: "Pieces" }, { value: "months", label: "Months" },
  { value: "years", label: "Years" },
];

/** Every cent and minute: what pieces made, what came in and went out, and the goal. */
export class ScreenLedger extends ScreenElement {
  static properties = {
    ...ScreenElement.properties, view: { state: true }, adding: { state: true },
  };

  constructor() {
    super();
    this.view = "pieces";
    this.adding = false;
  }

  render() {
    if (!this.household) return nothing;
    const { totals, lines, months, years } = booksOf(this.household);
    return html`<div class="stack">
      ${this.summary(totals)}
      <div class="cluster">
        ${button({ label: "Add an expense", icon: "plus", onClick: () => (this.adding = true) })}
      </div>
      <ledger-cash .household=${this.household}></ledger-cash>
      ${months.length > 1 ? html`<crest-plot .plot=${earningsPlot(months)}></crest-plot>` : nothing}
      ${radioChips({
        name: "ledger-view", legend: "By", options: VIEWS, value: this.view,
        onChange: (value) => (this.view = value),
      })}
      ${this.view === "pieces" ? this.pieces(lines)
        : this.periods(this.view === "months" ? months : years)}
      <p class="note">Figures for your own records, not tax advice. Days are those of
        ${this.household.setting.time_zone ?? "UTC"}.</p>
      <ledger-expense .household=${this.household} .open=${this.adding}
        @close=${() => (this.adding = false)}></ledger-expense>
    </div>`;
  }

  /** @param {import("../books/profit.js").Totals} totals */
  summary(totals) {
    return tagCard({
      label: "All in all",
      body: html`<p class="card-label">Earned so far, before your own time</p>
        <p class="card-number">${moneyWords(totals.earned)}</p>
        ${goalLine(totals.goal)}
        <hr class="card-fold" />
        <dl class="facts">
          <dt>${countWords(totals.sold, "piece")} sold, clear</dt><dd class="figure">${moneyWords(totals.clear)}</dd>
          <dt>An hour of work</dt><dd class="figure">${perHourWords(totals.work_per_hour)}</dd>
          <dt>An hour of everything</dt><dd class="figure">${perHourWords(totals.all_per_hour)}</dd>
          <dt>Cash</dt><dd class="figure">${moneyWords(totals.cash)}</dd>
          <dt>Stock at cost</dt><dd class="figure">${moneyWords(totals.stock)}</dd>
          ${totals.buyers
            ? html`<dt>Deposits held for buyers</dt><dd class="figure">${moneyWords(-totals.buyers)}</dd>`
            : nothing}
          ${totals.in_question
            ? html`<dt>In question (sold twice)</dt><dd class="figure">${moneyWords(totals.in_question)}</dd>`
            : nothing}
        </dl>`,
    });
  }

  /** @param {import("../books/lines.js").Line[]} lines */
  pieces(lines) {
    const gone = lines.filter((line) => line.clear !== null)
      .sort((a, b) => ((a.sold_on ?? "") < (b.sold_on ?? "") ? 1 : -1));
    if (!gone.length) {
      return emptyState({
        icon: "ledger", title: "Nothing sold yet",
        text: "When a piece is sold, its line stands here: what it brought, cost and took, and what an hour earned.",
      });
    }
    return html`<div class="table-wrap" tabindex="0" role="region" aria-label="Pieces sold">
      <table class="table">
        <caption class="unseen">What each piece made</caption>
        <thead><tr>
          <th scope="col">Piece</th><th scope="col" class="figure">Brought</th>
          <th scope="col" class="figure">Cost, fees, supplies</th><th scope="col" class="figure">Clear</th>
          <th scope="col" class="figure">Time</th><th scope="col" class="figure">An hour</th>
        </tr></thead>
        <tbody>${gone.map((line) => html`<tr>
          <th scope="row"><a href="#/pieces/${line.piece}">${line.title || line.kind || "Piece"}</a></th>
          <td class="figure">${moneyWords(line.brings)}</td>
          <td class="figure">${moneyWords(line.cost + line.fees + line.supplies + line.other)}</td>
          <td class="figure">${moneyWords(line.clear)}</td>
          <td class="figure">${minutesWords(line.all_minutes)}</td>
          <td class="figure">${perHourWords(line.all_per_hour)}</td>
        </tr>`)}</tbody>
      </table></div>`;
  }

  /** @param {import("../books/profit.js").Period[]} periods */
  periods(periods) {
    if (!periods.length) return emptyState({ icon: "ledger", title: "Nothing yet", text: "The first purchase or expense opens the books." });
    return html`<div class="table-wrap" tabindex="0" role="region" aria-label="Sums">
      <table class="table">
        <caption class="unseen">Sums by ${this.view === "months" ? "month" : "year"}</caption>
        <thead><tr>
          <th scope="col">${this.view === "months" ? "Month" : "Year"}</th>
          <th scope="col" class="figure">Sold</th><th scope="col" class="figure">Brought</th>
          <th scope="col" class="figure">Cost of sold</th><th scope="col" class="figure">Fees, expenses</th>
          <th scope="col" class="figure">Earned</th><th scope="col" class="figure">Work</th>
        </tr></thead>
        <tbody>${[...periods].reverse().map((p) => html`<tr>
          <th scope="row">${p.period}</th><td class="figure">${p.sold}</td>
          <td class="figure">${moneyWords(p.brings)}</td><td class="figure">${moneyWords(p.cost)}</td>
          <td class="figure">${moneyWords(p.fees + p.expenses)}</td>
          <td class="figure">${moneyWords(p.earned)}</td>
          <td class="figure">${minutesWords(p.minutes)}</td>
        </tr>`)}</tbody>
      </table></div>`;
  }
}

customElements.define("screen-ledger", ScreenLedger);
