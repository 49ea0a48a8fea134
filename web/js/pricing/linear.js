/**
 * A fitted regression as a phone gets it: names, coefficients, packed covariance. Mirrors
 * `pricing/linear.py`. The covariance (in units of the noise variance) travels as whole
 * millionths, lower triangle row by row.
 */

const MICRO = 1e-6;

/**
 * @typedef {Array<[number, number]>} Row one row as [column, value] pairs; the rest is 0
 * @typedef {object} Model
 * @property {Map<string, number>} index column by name
 * @property {number[]} m coefficients
 * @property {number[]} vMicro
 * @property {number} s2 noise variance
 * @property {number} c widens the spread to the 10% and 90% points of the t distribution
 * @property {Map<string, number>} noise kinds whose noise variance differs, as multiples of s2
 */

/**
 * The model out of the part `price` or `effort` of a price book.
 * @param {any} data
 * @returns {Model}
 */
export function modelFrom(data) {
  /** @type {Map<string, number>} */
  const index = new Map();
  data.names.forEach((/** @type {string} */ name, /** @type {number} */ i) => index.set(name, i));
  /** @type {Map<string, number>} */
  const noise = new Map(Object.entries(data.noise ?? {}));
  return { index, m: data.m, vMicro: data.v_micro, s2: data.s2, c: data.c, noise };
}

/**
 * The column of a name that every model has.
 * @param {Model} model
 * @param {string} name
 * @returns {number}
 */
export function column(model, name) {
  return /** @type {number} */ (model.index.get(name));
}

/**
 * The predicted mean of a row.
 * @param {Model} model
 * @param {Row} row
 */
export function dot(model, row) {
  let total = 0;
  for (const [i, value] of row) total += value * model.m[i];
  return total;
}

/**
 * row' V other: how far the errors of two predicted means go together, per noise variance.
 * @param {Model} model
 * @param {Row} row
 * @param {Row} other
 */
export function cross(model, row, other) {
  let total = 0;
  for (const [i, value] of row) {
    for (const [j, weight] of other) {
      const at = i >= j ? (i * (i + 1)) / 2 + j : (j * (j + 1)) / 2 + i;
      total += value * weight * model.vMicro[at] * MICRO;
    }
  }
  return total;
}

/**
 * The standard deviation (log scale) of a new value for a row; `more` is what is added to the
 * variance, per noise variance: that of a level the model never saw, or what the noise of a kind
 * differs by.
 * @param {Model} model
 * @param {Row} row
 * @param {number} more
 */
export function spread(model, row, more) {
  return model.c * Math.sqrt(model.s2 * (1 + cross(model, row, row) + more));
}
