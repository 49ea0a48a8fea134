/**
 * How good the numbers were: what was said when pieces were bought, against what happened.
 * Mirrors `pricing/scores.py`, which says what the keys of a pair mean. What ranges are widened by
 * comes with the book.
 */

/** Below this many nothing is judged. */
export const FEW = 10;
/** The share of pieces that the shown range, 10% to 90%, promises to hold. */
export const SHOWN = 0.8;
const Z95 = 1.959963984540054;

/** @type {Level[]} */
const LEVELS = ['guess', 'thin', 'fair', 'good', 'typed'];

/**
 * @typedef {'guess'|'thin'|'fair'|'good'|'typed'} Level
 *
 * @typedef {object} Pair what was said of a piece and what came of it; null: nothing yet
 * @property {Level} level
 * @property {number} low
 * @property {number} likely
 * @property {number} high
 * @property {number|null} price
 * @property {number} spread
 * @property {number|null} saidMinutes at the bench
 * @property {number|null} minutes
 * @property {number|null} saidDays on offer
 * @property {number|null} days
 * @property {number|null} saidUnsold
 * @property {boolean|null} unsold
 * @property {number|null} saidClear
 * @property {number|null} clear
 * @property {number|null} saidLoss
 * @property {boolean|null} lost
 *
 * @typedef {{n: number, held: number, low: number, high: number,
 *   says: 'few'|'as_said'|'too_narrow'|'too_wide'}} RangeScore
 * @typedef {'few'|'as_said'|'more'|'less'} Says
 * @typedef {{n: number, said: number, came: number, ratio: number|null, low: number|null,
 *   high: number|null, says: Says}} RatioScore
 * @typedef {{n: number, said: number, came: number, low: number|null, high: number|null,
 *   says: Says}} DifferenceScore
 * @typedef {{n: number, said: number, came: number, says: Says}} ChanceScore
 * @typedef {{range: RangeScore, minutes: RatioScore, days: DifferenceScore,
 *   unsold: ChanceScore, clear: DifferenceScore, loss: ChanceScore}} Measures
 */

/**
 * The interval of a share (Wilson 1927); 0 to 1 for none.
 * @param {number} held
 * @param {number} of
 * @param {number} z
 * @returns {[number, number]}
 */
export function wilson(held, of, z) {
  if (of === 0) return [0, 1];
  const share = held / of;
  const more = (z * z) / of;
  const middle = (share + more / 2) / (1 + more);
  const half = (z * Math.sqrt((share * (1 - share)) / of + more / (4 * of))) / (1 + more);
  return [Math.max(0, middle - half), Math.min(1, middle + half)];
}

/**
 * The chance that at most so many of independent events come about (Poisson binomial).
 * @param {number[]} chances
 * @param {number} happened
 */
export function atMost(chances, happened) {
  let counts = [1];
  for (const p of chances) {
    const before = counts;
    counts = Array.from({ length: before.length + 1 }, (_, k) =>
      (k < before.length ? before[k] * (1 - p) : 0) + (k > 0 ? before[k - 1] * p : 0));
  }
  return Math.min(1, sum(counts.slice(0, Math.max(0, happened + 1))));
}

/** What the ranges of a book were widened by. @param {any} book @returns {number} */
export function spreadOf(book) {
  return book.corrections?.spread ?? 1;
}

/** @param {number[]} numbers */
function sum(numbers) {
  return numbers.reduce((a, b) => a + b, 0);
}

/** @param {Pair[]} pairs @param {(keyof Pair)[]} names @returns {any[]} those that have both */
function having(pairs, ...names) {
  return pairs.filter((pair) => names.every((name) => pair[name] !== null));
}

/** @param {Pair[]} pairs @returns {RangeScore} */
function rangeScore(pairs) {
  const sold = having(pairs, 'price');
  const held = sold.filter((p) => p.low <= p.price && p.price <= p.high).length;
  const [low, high] = wilson(held, sold.length, Z95);
  /** @type {RangeScore['says']} */
  let says = 'as_said';
  if (sold.length < FEW) says = 'few';
  else if (high < SHOWN) says = 'too_narrow';
  else if (low > SHOWN) says = 'too_wide';
  return { n: sold.length, held, low, high, says };
}

/** @param {number} low @param {number} high @param {number} even @returns {Says} */
function against(low, high, even) {
  if (low > even) return 'more';
  return high < even ? 'less' : 'as_said';
}

/** The mean of numbers and half its 95% interval. @param {number[]} numbers */
function meanOf(numbers) {
  const n = numbers.length;
  const mean = sum(numbers) / n;
  const squares = sum(numbers.map((x) => (x - mean) ** 2));
  return { mean, half: Z95 * Math.sqrt(squares / (n - 1) / n) };
}

/**
 * Sums, and the middle ratio of what came to what was said with its 95% interval.
 * @param {Pair[]} pairs
 * @param {keyof Pair} said
 * @param {keyof Pair} came
 * @returns {RatioScore}
 */
function ratioScore(pairs, said, came) {
  const both = having(pairs, said, came).filter((p) => p[said] > 0 && p[came] > 0);
  const sums = {
    n: both.length, said: sum(both.map((p) => p[said])), came: sum(both.map((p) => p[came])),
  };
  if (both.length < FEW) return { ...sums, ratio: null, low: null, high: null, says: 'few' };
  const { mean, half } = meanOf(both.map((p) => Math.log(p[came] / p[said])));
  const low = Math.exp(mean - half);
  const high = Math.exp(mean + half);
  return { ...sums, ratio: Math.exp(mean), low, high, says: against(low, high, 1) };
}

/**
 * How many were to be expected, how many came, and whether chance explains the difference.
 * @param {Pair[]} pairs
 * @param {keyof Pair} said
 * @param {keyof Pair} came
 * @returns {ChanceScore}
 */
function chanceScore(pairs, said, came) {
  const both = having(pairs, said, came);
  const chances = both.map((p) => p[said]);
  const happened = both.filter((p) => p[came]).length;
  /** @type {Says} */
  let says = 'as_said';
  if (both.length < FEW) says = 'few';
  else if (1 - atMost(chances, happened - 1) < 0.025) says = 'more';
  else if (atMost(chances, happened) < 0.025) says = 'less';
  return { n: both.length, said: sum(chances), came: happened, says };
}

/**
 * What was said and what came in all, with the 95% interval of the difference a piece.
 * @param {Pair[]} pairs
 * @param {keyof Pair} said
 * @param {keyof Pair} came
 * @returns {DifferenceScore}
 */
function differenceScore(pairs, said, came) {
  const both = having(pairs, said, came);
  const sums = {
    n: both.length, said: sum(both.map((p) => p[said])), came: sum(both.map((p) => p[came])),
  };
  if (both.length < FEW) return { ...sums, low: null, high: null, says: 'few' };
  const { mean, half } = meanOf(both.map((p) => p[came] - p[said]));
  return { ...sums, low: mean - half, high: mean + half, says: against(mean - half, mean + half, 0) };
}

/** @param {Pair[]} pairs @returns {Measures} */
function measures(pairs) {
  return {
    range: rangeScore(pairs),
    minutes: ratioScore(pairs, 'saidMinutes', 'minutes'),
    days: differenceScore(pairs, 'saidDays', 'days'),
    unsold: chanceScore(pairs, 'saidUnsold', 'unsold'),
    clear: differenceScore(pairs, 'saidClear', 'clear'),
    loss: chanceScore(pairs, 'saidLoss', 'lost'),
  };
}

/**
 * All measures over all pairs, and by level of evidence where there are any.
 * @param {Pair[]} pairs
 * @returns {Measures & {n: number, levels: Array<Measures & {level: Level, n: number}>}}
 */
export function score(pairs) {
  const levels = LEVELS
    .map((level) => ({ level, some: pairs.filter((p) => p.level === level) }))
    .filter(({ some }) => some.length)
    .map(({ level, some }) => ({ level, n: some.length, ...measures(some) }));
  return { n: pairs.length, ...measures(pairs), levels };
}
