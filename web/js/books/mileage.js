// The trip log, and what its miles come to at the published rates. The day of a trip decides its
// rate; each trip is rounded to the cent, halves up. For the person's own records, not tax advice.

import { halfUp } from '../basis/rounding.js';

/** @typedef {import('./facts.js').Facts} Facts */
/** @typedef {import('./facts.js').Row} Row */

/**
 * The business standard mileage rate from a day on, in tenths of a cent a mile.
 * @typedef {{from_on: string, tenths: number, source: string}} MileRate
 */

/** @type {MileRate[]} */
export const MILE_RATES = [
  { from_on: '2022-01-01', tenths: 585, source: 'IRS, standard mileage rates, first half of 2022' },
  {
    from_on: '2022-07-01',
    tenths: 625,
    source: 'IRS, standard mileage rates, second half of 2022',
  },
  { from_on: '2023-01-01', tenths: 655, source: 'IRS Notice 2023-03 (notice number from memory)' },
  { from_on: '2024-01-01', tenths: 670, source: 'IRS Notice 2024-08' },
  { from_on: '2025-01-01', tenths: 700, source: 'IRS Notice 2025-5' },
  { from_on: '2026-01-01', tenths: 725, source: 'IRS Notice 2026-10' },
  {
    from_on: '2026-07-01',
    tenths: 760,
    source: 'IRS Announcement 2026-11, modifying Notice 2026-10',
  },
];

/** The last day that the table covers; the next year's rate is not published yet. */
export const MILE_RATES_UNTIL = '2026-12-31';

/**
 * Whether the day's rate is in the table.
 * @param {string} on
 */
export function hasRate(on) {
  return MILE_RATES[0].from_on <= on && on <= MILE_RATES_UNTIL;
}

/**
 * The rate of a day; RangeError outside the table.
 * @param {string} on
 * @returns {MileRate}
 */
export function rateOn(on) {
  const rate = MILE_RATES.filter((one) => one.from_on <= on).at(-1);
  if (!rate || !hasRate(on)) throw new RangeError(`no published rate for ${on} is known`);
  return rate;
}

/**
 * Cents for so many metres on a day, rounded once, halves up. A tenth of a cent a mile is
 * 25 / 402,336 cents a metre: a mile has 1,609.344 m.
 * @param {number} distance_m
 * @param {string} on
 */
export function tripAmount(distance_m, on) {
  return halfUp(distance_m * rateOn(on).tenths * 25, 402_336);
}

/**
 * Metres driven: as typed, else from the odometer, else 0.
 * @param {Row} row
 * @returns {number}
 */
export function driven(row) {
  if (row.distance_m != null) return row.distance_m;
  const { odometer_start_m: start, odometer_end_m: end } = row;
  return start != null && end != null ? Math.max(0, end - start) : 0;
}

/**
 * What the drives of a year (outings and deliveries) come to, and the days whose rate is not
 * published yet.
 * @param {Facts} facts
 * @param {number} year
 * @returns {{distance_m: number, amount: number, days_without_rate: string[]}}
 */
export function deduction(facts, year) {
  const found = { distance_m: 0, amount: 0, days_without_rate: /** @type {string[]} */ ([]) };
  const days = new Set();
  for (const row of [...facts.rows('outing'), ...facts.rows('delivery')]) {
    const metres = driven(row);
    if (!row.on.startsWith(`${String(year).padStart(4, '0')}-`) || metres <= 0) continue;
    found.distance_m += metres;
    if (hasRate(row.on)) found.amount += tripAmount(metres, row.on);
    else days.add(row.on);
  }
  found.days_without_rate = [...days].sort();
  return found;
}
