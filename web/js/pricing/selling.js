/**
 * Whether and when a piece sells: buyers come at a rate known only roughly. Mirrors
 * `pricing/selling.py`.
 */
import { NODES, phi } from './normal.js';

/** The chance of not selling is never put higher, whatever a person's record says. */
export const MOST_UNSOLD = 0.95;

/**
 * @typedef {object} Rate how fast a kind sells
 * @property {number} a gamma shape
 * @property {number} b days
 * @property {number} horizon the days one waits at most
 */

/**
 * The days a piece may stand before it must go: four times what is typical, or more.
 * @param {number} typicalDays
 * @param {number} shortest
 */
export function horizonOf(typicalDays, shortest) {
  return Math.max(shortest, 4 * typicalDays);
}

/**
 * The rate of a kind; of one the book does not know, by its typical `days` or the usual.
 * @param {any} sell
 * @param {string|null} kind
 * @param {number|null} days
 * @returns {Rate}
 */
export function rateOf(sell, kind, days) {
  if (kind !== null && Object.hasOwn(sell.kinds, kind)) {
    const [a, b, horizon] = sell.kinds[kind];
    return { a, b, horizon };
  }
  const [a, b, horizon] = sell.default;
  if (days === null) return { a, b, horizon };
  return { a, b: b * (days / sell.default_days), horizon: horizonOf(days, sell.horizon) };
}

/**
 * The chance to be still there after so many days at an ask every buyer accepts.
 * @param {Rate} rate
 * @param {number} exposure
 */
export function unsold(rate, exposure) {
  return Math.exp(-rate.a * Math.log1p(exposure / rate.b));
}

/**
 * The expected days spent in a step of `days` when `share` of the buyers accept its ask.
 * @param {Rate} rate
 * @param {number} exposure
 * @param {number} share
 * @param {number} days
 */
export function dwell(rate, exposure, share, days) {
  const r = (share * days) / (rate.b + exposure);
  if (r < 1e-12) return days * unsold(rate, exposure);
  const part = -Math.expm1((1 - rate.a) * Math.log1p(r)) / ((rate.a - 1) * r);
  return days * unsold(rate, exposure) * part;
}

/**
 * The chance not to sell within the horizon, and the expected days of standing, under the
 * default drop plan (log offsets from the going price, equal steps), whose ask misses the going
 * price by a normal error of standard deviation `kappa`.
 * @param {Rate} rate
 * @param {any} sell
 * @returns {{u: number, days: number}}
 */
export function unsoldDays(rate, sell) {
  const step = rate.horizon / sell.plan.length;
  let left = 0;
  let days = 0;
  for (const [z, weight] of NODES) {
    let exposure = 0;
    for (const offset of sell.plan) {
      const share = phi((sell.kappa * z - offset) / sell.omega);
      days += weight * dwell(rate, exposure, share, step);
      exposure += share * step;
    }
    left += weight * unsold(rate, exposure);
  }
  return { u: Math.min(MOST_UNSOLD, left * sell.unsold_scale), days };
}
