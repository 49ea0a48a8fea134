/**
 * How long the work takes: minutes of a plan of steps, as one log-normal total. Mirrors
 * `pricing/effort.py`.
 */
import { column, cross, dot, modelFrom } from './linear.js';
import { Z90 } from './normal.js';

/** Typical minutes are those for a piece found in this grade. */
export const REFERENCE_GRADE = 3;

/**
 * @typedef {object} PlanRow one step of a plan
 * @property {import('./linear.js').Row} row
 * @property {number} typedLog what the person's own figure adds to the log of its minutes
 * @property {number} extra variance of a step the book does not know
 *
 * @typedef {{mu: number, s: number, mean: number}} Effort minutes of work; no work is mean 0
 */

/** @type {Effort} */
export const NO_EFFORT = { mu: 0, s: 0, mean: 0 };

/**
 * The minutes at `z` standard deviations from the middle.
 * @param {Effort} e
 * @param {number} z
 */
export function minutesAt(e, z) {
  return e.mean > 0 ? Math.exp(e.mu + e.s * z) : 0;
}

/** The minutes that one plan in ten stays below. @param {Effort} e */
export function low(e) {
  return minutesAt(e, -Z90);
}

/** The middle of what it may take. @param {Effort} e */
export function likely(e) {
  return minutesAt(e, 0);
}

/** The minutes that one plan in ten exceeds. @param {Effort} e */
export function high(e) {
  return minutesAt(e, Z90);
}

/**
 * The row of a step the book knows, done `units` times on a piece found in that grade.
 * @param {import('./linear.js').Model} model
 * @param {string} step
 * @param {number} units
 * @param {number} foundGrade
 * @returns {PlanRow}
 */
export function stepRow(model, step, units, foundGrade) {
  return {
    row: [
      [column(model, 'all'), 1],
      [column(model, `step:${step}`), 1],
      [column(model, 'lnu'), Math.log(units)],
      [column(model, 'grade'), foundGrade - REFERENCE_GRADE],
    ],
    typedLog: 0,
    extra: 0,
  };
}

/**
 * The row of a step only the person knows, at the minutes they expect in all.
 * @param {import('./linear.js').Model} model
 * @param {number} minutes
 * @param {{step: number}} unknown
 * @returns {PlanRow}
 */
export function newStepRow(model, minutes, unknown) {
  return { row: [[column(model, 'all'), 1]], typedLog: Math.log(minutes), extra: unknown.step };
}

/**
 * The row that stands for minutes the person typed for the whole bench work.
 * @param {number} minutes
 * @returns {PlanRow}
 */
export function typedRow(minutes) {
  return { row: [], typedLog: Math.log(minutes), extra: 0 };
}

/**
 * The minutes of a whole plan. The steps share the errors of the coefficients, and `rho` of
 * their noise. The sum is a log-normal with the exact mean and variance (Fenton, IRE Trans.
 * Comm. Systems 8, 1960).
 * @param {import('./linear.js').Model} model
 * @param {PlanRow[]} plan
 * @param {number} rho
 * @returns {Effort}
 */
export function total(model, plan, rho) {
  if (plan.length === 0) return NO_EFFORT;
  const scale = model.c * model.c * model.s2;
  const shared = plan.map((p, i) => plan.map((q, j) => (
    scale * (cross(model, p.row, q.row) + (i === j ? 1 + p.extra : rho))
  )));
  const means = plan.map((p, i) => (
    Math.exp(dot(model, p.row) + p.typedLog + shared[i][i] / 2)
  ));
  let mean = 0;
  let variance = 0;
  means.forEach((m, i) => {
    mean += m;
    means.forEach((n, j) => {
      variance += m * n * Math.expm1(shared[i][j]);
    });
  });
  const s2 = Math.log1p(variance / (mean * mean));
  return { mu: Math.log(mean) - s2 / 2, s: Math.sqrt(s2), mean };
}

/** Below this many finished steps nothing is said about a person's own figure. */
const ENOUGH_STINTS = 5;
/** The 95% point of the standard normal: intervals of a pace run from 5% to 95%. */
const PACE_Z = 1.6448536269514722;

/**
 * @typedef {object} Pace learned minutes of a step against the person's own figure
 * @property {string} step
 * @property {number} ratio
 * @property {number} low
 * @property {number} high
 * @property {number} stints
 * @property {'few'|'as_said'|'longer'|'quicker'} says
 */

/** @param {number} low @param {number} high @param {number} stints @returns {Pace['says']} */
function paceSays(low, high, stints) {
  if (stints < ENOUGH_STINTS) return 'few';
  if (low > 1) return 'longer';
  return high < 1 ? 'quicker' : 'as_said';
}

/**
 * How what was learned of each step's minutes compares with the person's own figure.
 * @param {any} book
 * @returns {Pace[]}
 */
export function pace(book) {
  const model = modelFrom(book.effort);
  const done = book.counts.steps ?? {};
  return Object.entries(book.steps)
    .filter(([step, known]) => known.minutes && model.index.has(`step:${step}`))
    .map(([step, known]) => {
      /** @type {import('./linear.js').Row} */
      const row = [[column(model, 'all'), 1], [column(model, `step:${step}`), 1]];
      const off = dot(model, row) - Math.log(known.minutes);
      const reach = PACE_Z * model.c * Math.sqrt(model.s2 * cross(model, row, row));
      const low = Math.exp(off - reach);
      const high = Math.exp(off + reach);
      const stints = Object.hasOwn(done, step) ? done[step] : 0;
      return { step, ratio: Math.exp(off), low, high, stints, says: paceSays(low, high, stints) };
    });
}
