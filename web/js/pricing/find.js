/** A find as the pad gets it: checked, every problem named at once. Mirrors `pricing/find.py`. */
import { detail } from '../basis/errors.js';

const MONEY_LIMIT = 1e11;
/** Typed low and high further apart than this ratio say nothing about a price. */
const WIDEST_RANGE = 50;

const USUAL_FINISHED_GRADE = 4;
const USUAL_FOUND_GRADE = 3;

/**
 * @typedef {object} PadFind what the screen hands in; everything but kind may be left out
 * @property {string|null} [kind] slug
 * @property {string[]} [traits] slugs
 * @property {number|null} [count] items in the set
 * @property {number|null} [found_grade] 1 to 5, as it stands there
 * @property {number|null} [finished_grade] 1 to 5, as it will be sold
 * @property {Array<{step: string, units?: number|null, minutes?: number|null}>} [steps]
 *   minutes: what the person expects of a step that the book lacks
 * @property {{likely?: number|null, low?: number|null, high?: number|null,
 *   minutes?: number|null, supplies?: number|null}} [typed] what overrules the book
 * @property {number|null} [ask] theirs, minor units
 * @property {{pickup?: number|null}} [costs]
 * @property {{price?: number|null, days?: number|null}} [kind_typical] for a kind newer than
 *   the book: its record's typical price (minor units) and days
 *
 * @typedef {{path: string, code: string, message: string}} Problem
 *
 * @typedef {object} Find a find that was read and checked
 * @property {string|null} kind
 * @property {string[]} traits
 * @property {number} count
 * @property {number} foundGrade
 * @property {number} finishedGrade
 * @property {Array<{step: string, units: number, minutes: number|null}>} steps
 * @property {{likely: number|null, low: number|null, high: number|null,
 *   minutes: number|null, supplies: number|null}} typed
 * @property {number|null} ask
 * @property {number} pickup
 * @property {number|null} kindPrice
 * @property {number|null} kindDays
 */

/** What is wrong with an input. */
export class Problems {
  /** @type {Problem[]} */
  details = [];

  /**
   * Notes one problem, by its code in the table of errors.
   * @param {string} path
   * @param {string} code
   * @param {Record<string, any>} [values]
   */
  add(path, code, values = {}) {
    this.details.push(/** @type {Problem} */ (detail(path, code, values)));
  }

  /**
   * A whole number within limits; null when absent, and null noted when wrong.
   * @param {any} value
   * @param {string} path
   * @param {[number, number]} limits
   * @returns {number|null}
   */
  whole(value, path, [low, high]) {
    if (value === null || value === undefined || value === '') return null;
    if (!Number.isInteger(value)) {
      this.add(path, 'wrong_type', { expected: 'a whole number' });
      return null;
    }
    if (value < low) {
      this.add(path, 'too_small', { min: low });
      return null;
    }
    if (value > high) {
      this.add(path, 'too_big', { max: high });
      return null;
    }
    return value;
  }
}

/** @param {any} data @param {string} name @returns {any} */
function part(data, name) {
  const value = data[name];
  return value !== null && typeof value === 'object' && !Array.isArray(value) ? value : {};
}

/** @param {any} value @returns {any[]} */
function list(value) {
  return Array.isArray(value) ? value : [];
}

/** @param {any} data @param {number} count @param {Problems} problems */
function readSteps(data, count, problems) {
  /** @type {Find['steps']} */
  const steps = [];
  list(data.steps).forEach((entry, i) => {
    const step = entry !== null && typeof entry === 'object' ? entry.step : null;
    if (typeof step !== 'string') {
      problems.add(`steps.${i}.step`, 'required');
      return;
    }
    const units = problems.whole(entry.units, `steps.${i}.units`, [1, 1000]);
    const minutes = problems.whole(entry.minutes, `steps.${i}.minutes`, [0, 100_000]);
    steps.push({ step, units: units ?? count, minutes });
  });
  return steps;
}

/** @param {any} data @param {Problems} problems @returns {Find['typed']} */
function readTyped(data, problems) {
  const given = part(data, 'typed');
  const money = (/** @type {string} */ name, /** @type {number} */ least) => (
    problems.whole(given[name], `typed.${name}`, [least, MONEY_LIMIT])
  );
  const likely = money('likely', 1);
  const low = money('low', 1);
  const high = money('high', 1);
  /** @type {Array<[number|null, number|null, string]>} */
  const pairs = [[low, likely, 'low'], [likely, high, 'high'], [low, high, 'high']];
  for (const [less, more, name] of pairs) {
    if (less === null || more === null) continue;
    if (less > more) {
      problems.add(`typed.${name}`, 'conflict', { reason: 'low, likely, high have to rise' });
      break;
    }
    if (more > less * WIDEST_RANGE) {
      problems.add(`typed.${name}`, 'conflict', { reason: 'the figures are too far apart' });
      break;
    }
  }
  const minutes = problems.whole(given.minutes, 'typed.minutes', [0, 100_000]);
  return { likely, low, high, minutes, supplies: money('supplies', 0) };
}

/**
 * The find in `data`, what is left out at its usual value; problems are noted.
 * @param {PadFind} data
 * @param {Problems} problems
 * @returns {Find}
 */
export function readFind(data, problems) {
  const { kind } = data;
  const count = problems.whole(data.count, 'count', [1, 500]) ?? 1;
  const found = problems.whole(data.found_grade, 'found_grade', [1, 5]);
  const finished = problems.whole(data.finished_grade, 'finished_grade', [1, 5]);
  const typical = part(data, 'kind_typical');
  const costs = part(data, 'costs');
  const pickup = problems.whole(costs.pickup, 'costs.pickup', [0, MONEY_LIMIT]);
  return {
    kind: typeof kind === 'string' && kind !== '' ? kind : null,
    traits: [...new Set(list(data.traits).filter((t) => typeof t === 'string'))],
    count,
    foundGrade: found ?? USUAL_FOUND_GRADE,
    finishedGrade: finished ?? USUAL_FINISHED_GRADE,
    steps: readSteps(data, count, problems),
    typed: readTyped(data, problems),
    ask: problems.whole(data.ask, 'ask', [0, MONEY_LIMIT]),
    pickup: pickup ?? 0,
    kindPrice: problems.whole(typical.price, 'kind_typical.price', [1, MONEY_LIMIT]),
    kindDays: problems.whole(typical.days, 'kind_typical.days', [1, 1000]),
  };
}
