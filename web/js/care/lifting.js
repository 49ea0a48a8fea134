// The Revised NIOSH Lifting Equation (publication 94-110), to say when a lift is beyond one
// person. It is about one person's two-handed lift; carrying, stairs and lifts shared by several
// people are answered with reasons instead of a number. Lengths in mm, weights in g.

import {
  COUPLING, FREQUENCIES, FREQUENCY, METRIC, OUT_OF_SCOPE, PRINTED_HORIZONTAL_US, US,
} from './data.js';

export { METRIC, OUT_OF_SCOPE, US };

/**
 * A lift at the point evaluated. `origin_vertical` is where it began when the destination is
 * evaluated.
 * @typedef {object} Lift
 * @property {number} horizontal hands from between the ankles, mm
 * @property {number} vertical hands above the floor, mm
 * @property {number} travel height difference, mm
 * @property {number} [asymmetry] degrees from straight ahead
 * @property {number} [per_minute] lifts a minute
 * @property {number} [hours] of lifting, at most 8
 * @property {string} [coupling] good, fair or poor
 * @property {number|null} [origin_vertical]
 */

/** @typedef {Required<Lift>} FullLift */

/**
 * The recommended limit in g, or null with the reasons why not; the six factors in order.
 * @typedef {{limit_g: number|null, factors: number[], reasons: string[]}} Limit
 */

/**
 * The recommended weight limit of a lift. `conditions` are codes of OUT_OF_SCOPE that hold.
 * `rounded` works as the manual prints it. RangeError for what is not a lift.
 * @param {Lift} lift
 * @param {{conditions?: Iterable<string>, system?: Record<string, number>, rounded?: boolean}}
 *   [options]
 * @returns {Limit}
 */
export function recommendedLimit(lift, options = {}) {
  const { conditions = [], system = METRIC, rounded = false } = options;
  const full = {
    asymmetry: 0, per_minute: 0.2, hours: 1, coupling: 'poor', origin_vertical: null, ...lift,
  };
  const reasons = reasonsAgainst(full, conditions);
  if (reasons.length) return { limit_g: null, factors: [], reasons };
  const factors = factorsOf(full, system, rounded);
  let product = 1;
  for (const factor of factors) product *= factor;
  const limit = system.load_constant * product;
  return { limit_g: (rounded ? places(limit, 1) : limit) * system.grams, factors, reasons };
}

/**
 * Load over limit: above 1 the risk rises for some, above 3 for nearly all; null unknown.
 * @param {number} load_g
 * @param {Limit} limit
 * @returns {number|null}
 */
export function liftingIndex(load_g, limit) {
  if (limit.limit_g === null) return null;
  return limit.limit_g > 0 ? load_g / limit.limit_g : Infinity;
}

/**
 * Hands' distance estimated from the container's depth, mm.
 * @param {number} width
 * @param {number} vertical
 */
export function horizontalFromWidth(width, vertical) {
  return (vertical >= 250 ? 200 : 250) + width / 2;
}

/**
 * The most, in whole g, that one person should lift of furniture at the very best; above it a
 * lift is beyond one person, below it nothing is promised.
 * @param {number|null} [depth] of the piece in mm
 */
export function onePersonLimit(depth = null) {
  const best = 750;
  const horizontal = depth === null ? 250 : horizontalFromWidth(depth, best);
  const limit = recommendedLimit({ horizontal, vertical: best, travel: 250 });
  return Math.floor((limit.limit_g ?? 0) + 1e-6);
}

/**
 * Whether the weight is beyond what one person should lift even at the very best.
 * @param {number} weight_g
 * @param {number|null} [depth] of the piece in mm
 */
export function beyondOnePerson(weight_g, depth = null) {
  return weight_g > onePersonLimit(depth);
}

/**
 * @param {FullLift} lift
 * @param {Iterable<string>} conditions
 * @returns {string[]}
 */
function reasonsAgainst(lift, conditions) {
  const chosen = [...new Set(conditions)].sort();
  for (const code of chosen) {
    if (!(code in OUT_OF_SCOPE)) throw new RangeError(`unknown condition ${code}`);
  }
  const { horizontal, vertical, travel, asymmetry, per_minute: often } = lift;
  if (Math.min(horizontal, vertical, travel, asymmetry, often) < 0) {
    throw new RangeError('lengths, angle and frequency must not be negative');
  }
  if (!(lift.coupling in COUPLING)) {
    throw new RangeError(`coupling is good, fair or poor, not ${lift.coupling}`);
  }
  const reasons = chosen.map((code) => OUT_OF_SCOPE[code]);
  return lift.hours > 8 ? [...reasons, 'Lifting for more than 8 hours is outside it.'] : reasons;
}

/**
 * @param {FullLift} lift
 * @param {Record<string, number>} system
 * @param {boolean} rounded
 * @returns {number[]}
 */
function factorsOf(lift, system, rounded) {
  const h = lift.horizontal / system.mm;
  const v = lift.vertical / system.mm;
  const d = lift.travel / system.mm;
  const origin = lift.origin_vertical === null ? v : lift.origin_vertical / system.mm;
  const exact = [
    horizontalFactor(h, system),
    v > system.far + 1e-9 ? 0 : 1 - system.v_slope * Math.abs(v - system.low),
    distanceFactor(d, system),
    lift.asymmetry <= 135 ? 1 - 0.0032 * lift.asymmetry : 0,
    frequencyFactor(lift.per_minute, lift.hours, origin >= system.low - 1e-9),
    COUPLING[lift.coupling][v >= system.low - 1e-9 ? 1 : 0],
  ];
  if (!rounded) return exact;
  const printed = system === US ? PRINTED_HORIZONTAL_US[String(places(h, 6))] : undefined;
  return [printed ?? places(exact[0], 2), ...exact.slice(1).map((value) => places(value, 2))];
}

/**
 * @param {number} h
 * @param {Record<string, number>} system
 */
function horizontalFactor(h, system) {
  if (h > system.h_most + 1e-9) return 0;
  return h > 0 ? Math.min(1, system.h_least / h) : 1;
}

/**
 * @param {number} d
 * @param {Record<string, number>} system
 */
function distanceFactor(d, system) {
  if (d > system.far + 1e-9) return 0;
  return d > system.h_least ? Math.min(1, 0.82 + system.d_part / d) : 1;
}

/**
 * Table 5, between its rows by straight lines.
 * @param {number} often
 * @param {number} hours
 * @param {boolean} high
 */
function frequencyFactor(often, hours, high) {
  const base = hours <= 1 ? 0 : hours <= 2 ? 2 : 4;
  const column = base + (high ? 1 : 0);
  if (often <= FREQUENCIES[0]) return FREQUENCY[0][column];
  for (let n = 1; n < FREQUENCIES.length; n += 1) {
    const below = FREQUENCIES[n - 1];
    const above = FREQUENCIES[n];
    if (often <= above) {
      const part = (often - below) / (above - below);
      const low = FREQUENCY[n - 1][column];
      return low + (FREQUENCY[n][column] - low) * part;
    }
  }
  return 0;
}

/**
 * To so many decimal places, halves up; the last bits of a float don't decide a half.
 * @param {number} value
 * @param {number} digits
 */
function places(value, digits) {
  const unit = 10 ** digits;
  return Math.floor(value * unit + 0.5 + 1e-9) / unit;
}
