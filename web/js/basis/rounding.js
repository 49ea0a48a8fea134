/** The roundings that are allowed, with the same bits as basis/rounding.py. */

/** The largest whole number that every number up to it is exact. */
export const SAFE = Number.MAX_SAFE_INTEGER;

/**
 * Floor of a quotient of big integers, also for a negative numerator.
 * @param {bigint} numerator
 * @param {bigint} denominator positive
 * @returns {bigint}
 */
export function floorDiv(numerator, denominator) {
  const quotient = numerator / denominator;
  return numerator < 0n && quotient * denominator !== numerator ? quotient - 1n : quotient;
}

/**
 * `numerator / denominator` to the nearest whole number, halves towards plus infinity. Exact
 * for whole numbers of any size given as bigint or number.
 * @param {number | bigint} numerator
 * @param {number | bigint} denominator positive, or RangeError
 * @returns {number}
 */
export function halfUp(numerator, denominator) {
  const [top, bottom] = [BigInt(numerator), BigInt(denominator)];
  if (bottom <= 0n) throw new RangeError('the denominator has to be positive');
  return Number(floorDiv(2n * top + bottom, 2n * bottom));
}

/**
 * The largest multiple of `step` that is not above `amount`; RangeError if step < 1.
 * @param {number} amount
 * @param {number} step
 * @returns {number}
 */
export function floorTo(amount, step) {
  if (!(step >= 1)) throw new RangeError('the step has to be at least 1');
  return Number(floorDiv(BigInt(amount), BigInt(step)) * BigInt(step));
}

/**
 * A computed amount in minor units to a whole number, halves away from zero: the one way from
 * a formula's float to money. RangeError for NaN, infinities and beyond 2**53.
 * @param {number} value
 * @returns {number}
 */
export function toMinor(value) {
  if (!Number.isFinite(value) || Math.abs(value) > SAFE) {
    throw new RangeError('an amount has to be a finite number within 2**53');
  }
  const size = Math.abs(value);
  let whole = Math.floor(size);
  if (size - whole >= 0.5) whole += 1;
  return value < 0 && whole > 0 ? -whole : whole;
}
