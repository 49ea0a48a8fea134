/**
 * Moments and days; mirrors basis/clock.py. A moment is a `Date`, or the text
 * `2026-05-01T14:03:00.000Z`; a day is `2026-05-01`. Text order is time order.
 */

import { CrestrailError } from './errors.js';

const INSTANT = /^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}\.[0-9]{3}Z$/;
const DATE = /^[0-9]{4}-[0-9]{2}-[0-9]{2}$/;

/**
 * The moment that something is measured at: `at` in UTC and the household's day `on`.
 * @typedef {{at: string, on: string}} AsOf
 */

/**
 * Whether it is the text of a moment that is on the calendar, year 0001 to 9999.
 * @param {unknown} text
 * @returns {text is string}
 */
export function isInstant(text) {
  if (typeof text !== 'string' || !INSTANT.test(text) || text.startsWith('0000')) return false;
  const ms = Date.parse(text);
  return !Number.isNaN(ms) && new Date(ms).toISOString() === text;
}

/**
 * Whether it is the text of a calendar day.
 * @param {unknown} text
 * @returns {text is string}
 */
export function isDate(text) {
  return typeof text === 'string' && DATE.test(text) && isInstant(`${text}T00:00:00.000Z`);
}

/**
 * The moment as text.
 * @param {Date} instant
 * @returns {string}
 */
export function toText(instant) {
  return instant.toISOString();
}

/**
 * The moment of a text; CrestrailError unless it is written exactly so.
 * @param {string} text
 * @returns {Date}
 */
export function fromText(text) {
  const shown = text.slice(0, 40);
  if (!isInstant(text)) throw new CrestrailError('bad_instant', { text: shown });
  return new Date(text);
}

/**
 * Milliseconds since 1970-01-01T00:00Z.
 * @param {Date} instant
 * @returns {number}
 */
export function toMs(instant) {
  return instant.getTime();
}

/**
 * The moment so many milliseconds after 1970-01-01T00:00Z.
 * @param {number} ms
 * @returns {Date}
 */
export function fromMs(ms) {
  return new Date(ms);
}

/** @type {Map<string, Intl.DateTimeFormat>} */
const calendars = new Map();

/**
 * @param {string} zone
 * @returns {Intl.DateTimeFormat} the calendar of a time zone, made once
 */
function calendarOf(zone) {
  let calendar = calendars.get(zone);
  if (calendar) return calendar;
  try {
    calendar = new Intl.DateTimeFormat('en-US', {
      timeZone: zone || '?',
      calendar: 'gregory',
      numberingSystem: 'latn',
      year: 'numeric',
      month: '2-digit',
      day: '2-digit',
    });
  } catch {
    throw new CrestrailError('bad_zone', { text: zone.slice(0, 60) });
  }
  calendars.set(zone, calendar);
  return calendar;
}

/**
 * The calendar day it is, at that moment, in the time zone (an IANA name).
 * @param {Date} instant
 * @param {string} zone
 * @returns {string}
 */
export function localDay(instant, zone) {
  const parts = calendarOf(zone).formatToParts(instant);
  /** @type {(type: string) => string} */
  const part = (type) => parts.find((p) => p.type === type)?.value ?? '';
  return `${part('year').padStart(4, '0')}-${part('month')}-${part('day')}`;
}

/**
 * The moment together with its day in the household's time zone.
 * @param {Date} instant
 * @param {string} zone
 * @returns {AsOf}
 */
export function asOf(instant, zone) {
  return { at: toText(instant), on: localDay(instant, zone) };
}
