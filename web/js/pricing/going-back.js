/**
 * Whether to drive back for a piece: the chance it is still there against the way and the time.
 * Mirrors `pricing/going_back.py`.
 */
import { fromText, isInstant, toMs } from '../basis/clock.js';
import { toMinor } from '../basis/rounding.js';
import { Problems } from './find.js';
import { priceFind } from './pad.js';

const PRIOR_HOURS = 3;
/** What is still to be had after closing, of what stood there until then: a guess, no source. */
const AFTER_SHARE = 0.2;
/** Roads are longer than the straight line: common practice, no source. */
const CIRCUITY = 1.3;
/** Miles an hour between sales, minutes to look again and load: common practice, no source. */
const SPEED = 25;
const STOP_MINUTES = 10;
const MOST_MILES = 2000;
const MOST_MINUTES = 6000;
const EARTH_METRES = 6_371_008.8;
const MILE = 1609.344;
const HOUR_MS = 3_600_000;

/**
 * @typedef {[number, number]} Place latitude and longitude in degrees
 *
 * @typedef {object} Trip
 * @property {string|null} [seen_at] when it was last seen there, an instant
 * @property {string|null} [now]
 * @property {string|null} [closes_at] when its sale closes
 * @property {number|null} [miles] the whole extra way as typed
 * @property {number|null} [minutes] its time as typed
 * @property {Place|null} [here]
 * @property {Place|null} [there]
 *
 * @typedef {{miles: number, minutes: number, source: 'typed'|'positions'}} Way there and back
 * @typedef {{hours: number, pastClosing: boolean}} Wait the hours it stood open to others
 *
 * @typedef {object} BackAnswer money in minor units
 * @property {true} ok
 * @property {'go'|'nothing_there'|'way'} worth
 * @property {number} value
 * @property {number} surplus profit at the price there
 * @property {number} chance that it is still there
 * @property {number} hours
 * @property {boolean} pastClosing
 * @property {number} miles
 * @property {number} minutes
 * @property {'typed'|'positions'} source of the miles
 * @property {number} halfLife hours
 * @property {number} visits own returns that the half-life was learned from
 * @property {number} perMile
 * @property {{key: string, amount: number}[]} rows they add up to the last, the value
 */

/** The chance to be still there. @param {number} hours @param {number} half */
export function stillThere(hours, half) {
  return Math.exp((-Math.log(2) * hours) / half);
}

/**
 * Miles by road, about: the great circle times the circuity.
 * @param {Place} a
 * @param {Place} b
 */
export function milesBetween(a, b) {
  const rad = Math.PI / 180;
  const h = Math.sin(((b[0] - a[0]) * rad) / 2) ** 2
    + Math.cos(a[0] * rad) * Math.cos(b[0] * rad) * Math.sin(((b[1] - a[1]) * rad) / 2) ** 2;
  return (CIRCUITY * 2 * EARTH_METRES * Math.asin(Math.min(1, Math.sqrt(h)))) / MILE;
}

/**
 * A number from 0 to `most`; null when absent, and null noted when wrong.
 * @param {any} value
 * @param {string} path
 * @param {number} most
 * @param {Problems} problems
 */
function numberOf(value, path, most, problems) {
  if (value === null || value === undefined || value === '') return null;
  if (typeof value !== 'number' || !Number.isFinite(value)) {
    problems.add(path, 'wrong_type', { expected: 'a number' });
  } else if (value < 0) problems.add(path, 'too_small', { min: 0 });
  else if (value > most) problems.add(path, 'too_big', { max: most });
  else return value;
  return null;
}

/** @param {any} value @param {number} limit */
function isWithin(value, limit) {
  return typeof value === 'number' && value >= -limit && value <= limit;
}

/** @param {any} value @param {string} path @param {Problems} problems @returns {Place|null} */
function placeOf(value, path, problems) {
  if (value === null || value === undefined) return null;
  if (Array.isArray(value) && value.length === 2
    && isWithin(value[0], 90) && isWithin(value[1], 180)) return [value[0], value[1]];
  problems.add(path, 'wrong_type', { expected: 'a latitude and a longitude in degrees' });
  return null;
}

/**
 * The way as typed, else from the two positions; null noted where neither is known.
 * @param {Trip} trip
 * @param {Problems} problems
 * @returns {Way|null}
 */
function wayOf(trip, problems) {
  const before = problems.details.length;
  let miles = numberOf(trip.miles, 'miles', MOST_MILES, problems);
  const minutes = numberOf(trip.minutes, 'minutes', MOST_MINUTES, problems);
  const here = placeOf(trip.here, 'here', problems);
  const there = placeOf(trip.there, 'there', problems);
  if (problems.details.length > before) return null;
  /** @type {Way['source']} */
  let source = 'typed';
  if (miles === null) {
    if (here === null || there === null) {
      problems.add('miles', 'required');
      return null;
    }
    miles = 2 * milesBetween(here, there);
    source = 'positions';
    if (miles > MOST_MILES) {
      problems.add('miles', 'too_big', { max: MOST_MILES });
      return null;
    }
  }
  return { miles, minutes: minutes ?? (miles * 60) / SPEED + STOP_MINUTES, source };
}

/**
 * A moment in milliseconds; null when absent, and null noted when it is none.
 * @param {any} value
 * @param {string} path
 * @param {Problems} problems
 */
function momentOf(value, path, problems) {
  if (value === null || value === undefined || value === '') return null;
  if (!isInstant(value)) {
    problems.add(path, 'bad_instant', { text: String(value).slice(0, 40) });
    return null;
  }
  return toMs(fromText(value));
}

/** @param {Trip} trip @param {Way|null} way @param {Problems} problems @returns {Wait|null} */
function waitOf(trip, way, problems) {
  const before = problems.details.length;
  const now = momentOf(trip.now, 'now', problems);
  const seen = momentOf(trip.seen_at, 'seen_at', problems);
  const closes = momentOf(trip.closes_at, 'closes_at', problems);
  if (problems.details.length > before) return null;
  if (now === null) problems.add('now', 'required');
  if (seen === null) problems.add('seen_at', 'required');
  if (now === null || seen === null) return null;
  if (seen > now) {
    problems.add('seen_at', 'conflict', { reason: 'it cannot have been seen later than now' });
    return null;
  }
  const arrive = now + (way === null ? 0 : way.minutes * 30_000);
  const pastClosing = closes !== null && seen < closes && closes <= arrive;
  const until = pastClosing && closes !== null ? closes : arrive;
  return { hours: (until - seen) / HOUR_MS, pastClosing };
}

/**
 * What the book has learned of going back; a guess where an older book says nothing.
 * @param {any} book
 * @returns {{half_life_h: number, p_after: number, visits: number}}
 */
export function backOf(book) {
  return { half_life_h: PRIOR_HOURS, p_after: AFTER_SHARE, visits: 0, ...book.back };
}

/** @param {number} surplus @param {number} value @returns {BackAnswer['worth']} */
function worthOf(surplus, value) {
  if (value > 0) return 'go';
  return surplus <= 0 ? 'nothing_there' : 'way';
}

/** @param {any} book @param {number} surplus @param {Way} way @param {Wait} wait */
function answerOf(book, surplus, way, wait) {
  const learned = backOf(book);
  const { money } = book;
  let chance = stillThere(wait.hours, learned.half_life_h);
  if (wait.pastClosing) chance *= learned.p_after;
  const gain = Math.max(0, surplus);
  const rows = [
    { key: 'surplus', amount: gain },
    { key: 'gone', amount: toMinor(chance * gain) - gain },
    { key: 'way', amount: 0 - toMinor(way.miles * money.per_mile) },
    { key: 'time', amount: 0 - toMinor((way.minutes * money.wage_per_hour) / 60) },
  ];
  const value = rows.reduce((sum, row) => sum + row.amount, 0);
  return {
    ok: /** @type {const} */ (true),
    worth: worthOf(surplus, value),
    value,
    surplus,
    chance,
    hours: wait.hours,
    pastClosing: wait.pastClosing,
    ...way,
    halfLife: learned.half_life_h,
    visits: learned.visits,
    perMile: money.per_mile,
    rows: [...rows, { key: 'value', amount: value }],
  };
}

/**
 * Whether going back for a find is worth it, at the price that was asked. Input that makes no
 * sense gives `{ok: false, details}`, each detail naming its field; nothing throws.
 * @param {any} book
 * @param {import('./find.js').PadFind} find its ask known
 * @param {Trip} trip
 * @returns {BackAnswer|import('./pad.js').PadRefusal}
 */
export function goBack(book, find, trip) {
  const priced = priceFind(book, find);
  if (!priced.ok) return priced;
  const problems = new Problems();
  if (priced.atAsk === null) problems.add('ask', 'required');
  const way = wayOf(trip, problems);
  const wait = waitOf(trip, way, problems);
  if (priced.atAsk === null || way === null || wait === null) {
    return { ok: false, details: problems.details };
  }
  return answerOf(book, priced.atAsk.profit, way, wait);
}
