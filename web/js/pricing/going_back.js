/** Whether to drive back for a piece. Mirrors `pricing/going_back.py`. */
const PRIOR_HOURS = 3;
const PRIOR_WEIGHT = 3;
/** Roads are longer than the straight line: common practice, no source. */
const CIRCUITY = 1.3;
const EARTH_METRES = 6_371_008.8;
const MILE = 1609.344;

/**
 * Hours after which half such pieces are gone, from own visits that found it or not (> 0).
 * @param {number[]} foundHours
 * @param {number[]} goneHours
 */
export function halfLife(foundHours, goneHours) {
  const b0 = (PRIOR_WEIGHT * PRIOR_HOURS) / Math.log(2);
  const seen = foundHours.reduce((a, b) => a + b, 0);
  let low = Math.log(1e-9);
  let high = Math.log(1e6);
  for (let i = 0; i < 100; i += 1) {
    const mid = (low + high) / 2;
    const rate = Math.exp(mid);
    let slope = PRIOR_WEIGHT - b0 * rate - rate * seen;
    for (const h of goneHours) {
      const x = rate * h;
      slope += x < 700 ? x / Math.expm1(x) : 0;
    }
    if (slope > 0) low = mid;
    else high = mid;
  }
  return Math.log(2) / Math.exp((low + high) / 2);
}

/** The chance to be still there. @param {number} hours @param {number} half */
export function stillThere(hours, half) {
  return Math.exp((-Math.log(2) * hours) / half);
}

/**
 * Miles by road, about: the great circle times the circuity; [latitude, longitude] in degrees.
 * @param {[number, number]} a
 * @param {[number, number]} b
 */
export function milesBetween(a, b) {
  const rad = Math.PI / 180;
  const h = Math.sin(((b[0] - a[0]) * rad) / 2) ** 2
    + Math.cos(a[0] * rad) * Math.cos(b[0] * rad) * Math.sin(((b[1] - a[1]) * rad) / 2) ** 2;
  return (CIRCUITY * 2 * EARTH_METRES * Math.asin(Math.min(1, Math.sqrt(h)))) / MILE;
}

/**
 * What going back is worth (minor units): go when above 0.
 * @param {number} chance
 * @param {number} surplus profit at the price there, without the least profit
 * @param {number} driveCost
 * @param {number} timeCost
 */
export function valueOfGoing(chance, surplus, driveCost, timeCost) {
  return chance * Math.max(0, surplus) - driveCost - timeCost;
}
