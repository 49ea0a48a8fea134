/** How good the numbers were, one plain sentence a measure; pure. */

import { FEW } from "../pricing/scores.js";
import { timesWords } from "../pricing/words.js";
import { aboutMoney, countWords, minutesWords } from "../ui/words.js";

/** @typedef {import("../pricing/scores.js").Measures} Measures */

const FAIR = "No more off than chance explains.";

/** @type {Record<import("../pricing/scores.js").Level, string>} */
export const LEVEL_WORDS = {
  guess: "A guess: fewer than 20 own sales",
  thin: "Thin: fewer than 3 of the kind",
  fair: "Fair: 3 to 9 of the kind",
  good: "Good: 10 or more of the kind",
  typed: "Your own figure",
};

/**
 * The sentence where there is too little to judge; null where there is enough.
 * @param {number} n
 * @param {string} one
 * @param {string} none
 * @param {string} [many]
 */
function tooFew(n, one, none, many) {
  if (n === 0) return none;
  return n < FEW ? `${countWords(n, one, many)} so far: too few to judge.` : null;
}

/** @param {number} part @param {number} of */
function percent(part, of) {
  return `${Math.round((100 * part) / of)}%`;
}

/** @param {Measures["range"]} range */
export function rangeWords({ n, held, says }) {
  const few = tooFew(n, "sale", "No piece that was priced here has sold yet.");
  if (few) return few;
  const said = { as_said: FAIR, too_narrow: "The ranges were too narrow.",
    too_wide: "The ranges were too wide.", few: "" }[says];
  return `${held} of ${n} sales brought a price in the range shown (${percent(held, n)}; `
    + `80% was promised). ${said}`;
}

/** @param {Measures["minutes"]} minutes */
export function minutesSaid({ n, said, came, ratio, says }) {
  const few = tooFew(n, "piece timed", "No piece has been timed from its first step to its last.",
    "pieces timed");
  if (few) return few;
  const times = timesWords(ratio ?? 1);
  const verdict = says === "as_said" || times === timesWords(1) ? FAIR
    : `You take ${says === "more" ? "longer" : "less"} than said: ${times}.`;
  return `${n} pieces: ${minutesWords(said)} at the bench were said, ${minutesWords(came)} were `
    + `needed. ${verdict}`;
}

/** @param {Measures["days"]} days */
export function daysSaid({ n, said, came, says }) {
  const few = tooFew(n, "piece", "No piece has been on offer long enough to know.");
  if (few) return few;
  const verdict = { as_said: FAIR, more: "They stand longer than said.",
    less: "They go sooner than said.", few: "" }[says];
  return `${n} pieces offered long enough ago to know: ${Math.round(said / n)} days each were `
    + `said, ${Math.round(came / n)} it took. ${verdict}`;
}

/** @param {Measures["unsold"]} unsold */
export function unsoldSaid({ n, said, came, says }) {
  const few = tooFew(n, "piece", "No piece has been on offer long enough to know.");
  if (few) return few;
  return `About ${Math.round(said)} of ${n} were said not to sell in time; ${came} did not. `
    + verdictOfChance(says);
}

/** @param {Measures["clear"]} clear */
export function clearSaid({ n, said, came, says }) {
  const few = tooFew(n, "piece sold or gone", "No piece that was priced here has left yet.",
    "pieces sold or gone");
  if (few) return few;
  const verdict = { as_said: FAIR,
    more: "They brought more than was promised.",
    less: "They brought less than was promised.", few: "" }[says];
  return `${n} pieces sold or gone: ${aboutMoney(said)} were promised, ${aboutMoney(came)} came of `
    + `them, before your own time. ${verdict}`;
}

/** @param {Measures["loss"]} loss */
export function lossSaid({ n, said, came, says }) {
  const few = tooFew(n, "piece sold or gone", "No piece that was priced here has left yet.",
    "pieces sold or gone");
  if (few) return few;
  return `About ${Math.round(said)} of ${n} were said to bring back less cash than was put in, at `
    + `their price; ${came} did. ${verdictOfChance(says)}`;
}

/** @param {import("../pricing/scores.js").Says} says */
function verdictOfChance(says) {
  if (says === "more") return "That is more than chance explains.";
  return says === "less" ? "That is fewer than chance explains." : FAIR;
}

/**
 * The same for one level of evidence, in short.
 * @param {Measures & {n: number}} level
 */
export function levelWords({ n, range, clear, loss }) {
  const parts = [`${n} bought, ${range.n} sold`];
  if (range.n) parts.push(`${range.held} of them in the range`);
  if (clear.n) {
    parts.push(`clear ${aboutMoney(clear.said)} promised, ${aboutMoney(clear.came)} came`);
  }
  if (loss.n) parts.push(`losses: about ${Math.round(loss.said)} said, ${loss.came} came`);
  return parts.join("; ");
}

/**
 * What the numbers of today make of it, one sentence each.
 * @param {any} book null before it came from home
 * @returns {string[]}
 */
export function correctionWords(book) {
  if (!book) return ["Your numbers come to this phone with the first sync."];
  const { spread = 1, of = 0 } = book.corrections ?? {};
  const scale = book.sell?.unsold_scale ?? 1;
  const width = spread > 1 ? "wider" : "narrower";
  return [
    spread === 1
      ? `Ranges are shown as they are worked out: ${of < 20
        ? "they are corrected from 20 sales on, if chance cannot explain a miss."
        : `${of} sales call for no correction.`}`
      : `Ranges are shown ${width}, ${hundredths(spread)} times, because of ${of} sales.`,
    Math.abs(scale - 1) < 0.005 ? "The chance of not selling is taken as it is worked out."
      : `The chance of not selling is put at ${hundredths(scale)} times what was worked out, `
        + "from your own record.",
    "Prices, minutes and days need no correction: each sale and each stint goes into them.",
  ];
}

/** @param {number} ratio */
function hundredths(ratio) {
  return (Math.round(100 * ratio) / 100).toString();
}
