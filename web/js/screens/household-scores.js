import { html, nothing } from "../../vendor/lit/index.js";
import { score } from "../pricing/scores.js";
import { scoredPieces } from "../state/scores.js";
import { emptyState } from "../ui/card.js";
import { ScreenElement } from "../ui/screen-element.js";
import { aboutMoney, dayWords, minutesWords } from "../ui/words.js";
import {
  LEVEL_WORDS, clearSaid, correctionWords, daysSaid, levelWords, lossSaid, minutesSaid,
  rangeWords, unsoldSaid,
} from "./household-scores-words.js";
import "../ui/plot.js";

/** @typedef {import("../state/scores.js").Scored} Scored */
/** @typedef {import("../ui/plot.js").Plot} Plot */
/** @typedef {import("../pricing/scores.js").Measures} Measures */
/** @typedef {(value: number | null) => string} Words */

/** @type {Words} */
const percentOf = (value) => (value === null ? "–" : `${Math.round(value)}%`);
/** @type {Words} */
const daysOf = (value) => (value === null ? "–" : `${Math.round(value)}`);
/** @type {Words} */
const countOf = (value) => (value === null ? "–" : `${Math.round(10 * value) / 10}`);

/** What was said when pieces were bought against what came of them, with what follows from it. */
export class HouseholdScores extends ScreenElement {
  render() {
    if (!this.household) return nothing;
    const pieces = scoredPieces(this.household);
    const scores = score(pieces);
    return html`<div class="stack">
      <p>When you buy a piece, what your numbers say of it is kept as it stood. Here it is set
        beside what came of it.</p>
      ${pieces.length ? this.#all(pieces, scores) : emptyState({
        icon: "eye", title: "Nothing to judge yet",
        text: "Price a find at the sale and buy it. Once it sells, you see here how good the "
          + "numbers were.",
      })}
      <section class="stack tight">
        <h2>What your numbers make of it</h2>
        <ul>${correctionWords(this.household.book).map((text) => html`<li>${text}</li>`)}</ul>
      </section>
    </div>`;
  }

  /** @param {Scored[]} pieces @param {ReturnType<typeof score>} scores */
  #all(pieces, scores) {
    return html`
      ${part("The range", rangeWords(scores.range), this.#range(pieces))}
      ${part("Minutes at the bench", minutesSaid(scores.minutes),
        this.#beside(pieces, "saidMinutes", "minutes",
          { caption: "Minutes said and needed", words: minutesWords }))}
      ${part("Days on offer", daysSaid(scores.days),
        this.#beside(pieces, "saidDays", "days",
          { caption: "Days said and taken", words: daysOf }))}
      ${part("Not sold in time", unsoldSaid(scores.unsold),
        this.#summed(pieces, "saidUnsold", "unsold",
          { caption: "Pieces said not to sell in time, and those that did not",
            words: countOf }))}
      ${part("What was left", clearSaid(scores.clear),
        this.#summed(pieces, "saidClear", "clear",
          { caption: "Clear promised and realised, added up", words: aboutMoney }))}
      ${part("Losses", lossSaid(scores.loss),
        this.#summed(pieces, "saidLoss", "lost",
          { caption: "Losses to be expected, and those there were", words: countOf }))}
      ${this.#levels(scores.levels)}`;
  }

  /** @param {Scored[]} some @returns {import("../ui/plot.js").PlotColumn} */
  #days(some) {
    const today = this.household.today();
    return {
      label: "Bought", values: some.map(({ on }) => Date.parse(on) / 1000),
      words: (value) => (value === null ? "–"
        : dayWords(new Date(value * 1000).toISOString().slice(0, 10), today)),
    };
  }

  /** @param {Scored[]} pieces @returns {Plot | null} */
  #range(pieces) {
    const sold = pieces.filter(({ price }) => price !== null);
    const part = (/** @type {"low" | "price" | "high"} */ name) =>
      sold.map((piece) => (100 * (piece[name] ?? 0)) / piece.likely);
    return plotOf(sold, "Price as a share of what was said to be likely", {
      x: this.#days(sold), time: true,
      lines: [
        { label: "It brought", values: part("price"), words: percentOf, dots: true },
        { label: "Range from", values: part("low"), words: percentOf },
        { label: "to", values: part("high"), words: percentOf },
      ],
    });
  }

  /**
   * What came over what was said: as said where a point lies on the line.
   * @param {Scored[]} pieces
   * @param {"saidMinutes" | "saidDays"} said
   * @param {"minutes" | "days"} came
   * @param {{caption: string, words: Words}} look
   */
  #beside(pieces, said, came, { caption, words }) {
    const both = pieces.filter((piece) => piece[said] !== null && piece[came] !== null)
      .sort((a, b) => Number(a[said]) - Number(b[said]));
    const values = both.map((piece) => Number(piece[said]));
    return plotOf(both, caption, {
      x: { label: "Said", values, words },
      lines: [
        { label: "Came", values: both.map((piece) => piece[came]), words, dots: true },
        { label: "If it came as said", values, words },
      ],
    });
  }

  /**
   * @param {Scored[]} pieces
   * @param {"saidUnsold" | "saidClear" | "saidLoss"} said
   * @param {"unsold" | "clear" | "lost"} came
   * @param {{caption: string, words: Words}} look
   */
  #summed(pieces, said, came, { caption, words }) {
    const both = pieces.filter((piece) => piece[said] !== null && piece[came] !== null);
    return plotOf(both, caption, {
      x: this.#days(both), time: true,
      lines: [
        { label: "Came", values: added(both.map((piece) => Number(piece[came]))), words },
        { label: "Said", values: added(both.map((piece) => Number(piece[said]))), words },
      ],
    });
  }

  /** @param {ReturnType<typeof score>["levels"]} levels */
  #levels(levels) {
    return html`<section class="stack tight">
      <h2>By how much there was to go by</h2>
      <ul class="rows" role="list">${levels.map((one) => html`<li class="row">
        <span class="row-text"><span class="row-title">${LEVEL_WORDS[one.level]}</span>
          <span class="note">${levelWords(one)}</span></span></li>`)}</ul>
      <p class="note">Pieces that were divided, joined or sold twice are left out.</p>
    </section>`;
  }
}

/**
 * @param {Scored[]} some
 * @param {string} caption
 * @param {Omit<Plot, "caption">} rest
 * @returns {Plot | null} null where two points do not make a line
 */
function plotOf(some, caption, rest) {
  return some.length < 2 ? null : { caption, ...rest };
}

/** @param {number[]} values */
function added(values) {
  let sum = 0;
  return values.map((value) => (sum += value));
}

/** @param {string} heading @param {string} sentence @param {Plot | null} plot */
function part(heading, sentence, plot) {
  return html`<section class="stack tight">
    <h2>${heading}</h2>
    <p>${sentence}</p>
    ${plot ? html`<crest-plot .plot=${plot}></crest-plot>` : nothing}
  </section>`;
}

customElements.define("household-scores", HouseholdScores);
