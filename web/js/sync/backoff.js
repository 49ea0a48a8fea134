const FIRST_MS = 2_000;
const LONGEST_MS = 60_000;

/**
 * How long to wait after so many failures in a row: doubling up to a minute, spread over its
 * upper half so that two phones don't knock together.
 * @param {number} failures at least 1
 * @param {() => number} random a number from 0 to below 1
 * @returns {number} milliseconds, at most a minute
 */
export function delayAfter(failures, random) {
  const full = Math.min(LONGEST_MS, FIRST_MS * 2 ** Math.min(failures - 1, 10));
  return Math.round(full / 2 + (full / 2) * random());
}
