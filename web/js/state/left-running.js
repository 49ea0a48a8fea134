/** What was started and never said to be over: an outing past its end, a timer over night. */

import { halfUp } from '../basis/rounding.js';
import { overAt } from './outings.js';

/** @typedef {import('./household.js').Household} Household */
/** @typedef {import('./household.js').Written} Written */
/** @typedef {import('./memory.js').Live} Live */

/**
 * Something that still runs though it probably does not.
 * @typedef {object} LeftRunning
 * @property {"outing"|"stint"} what
 * @property {Live} record
 * @property {string} since when it began
 * @property {string} endAt when it probably ended: an instant between its beginning and now
 */

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
/** So long after the last sale closes, or anything was written, an outing is taken to be over. */
const OUTING_QUIET = 3 * HOUR;
/** Longer than anybody works in one go. */
const STINT_LONG = 8 * HOUR;
/** Past midnight somebody may still be at it for a while. */
const STINT_NIGHT = 3 * HOUR;
/** What a timer is ended at when nothing says more. */
const STINT_USUAL = HOUR;
/** From the last sale home, when nothing says more. */
const WAY_HOME = 30 * MINUTE;

/**
 * Outings and timers that were forgotten, oldest first.
 * @param {Household} household
 * @returns {LeftRunning[]}
 */
export function leftRunning(household) {
  const now = household.now().getTime();
  const outings = household.all('outing').filter((outing) => !outing.ended_at)
    .map((outing) => outingLeft(household, outing, now));
  const stints = household.all('stint').filter((stint) => !stint.stopped_at && !stint.minutes)
    .map((stint) => stintLeft(household, stint, now));
  const found = [...outings, ...stints].filter((one) => one !== null);
  return found.sort((a, b) => (a.since < b.since ? -1 : 1));
}

/**
 * @param {Household} household
 * @param {Live} outing
 * @param {number} now ms
 * @returns {LeftRunning|null} null while it may well be under way
 */
function outingLeft(household, outing, now) {
  const last = lastSeen(household, outing);
  const closes = Math.max(last, ...household.where('stop', 'outing_id', outing.id)
    .map((stop) => Date.parse(stop.closes_at ?? '') || 0));
  const over = outing.on !== household.today() || now - closes > OUTING_QUIET;
  if (!over) return null;
  const end = clamp(last + WAY_HOME, Date.parse(outing.at), now);
  return { what: 'outing', record: outing, since: outing.at, endAt: iso(end) };
}

/**
 * The last moment at which something was written on an outing.
 * @param {Household} household
 * @param {Live} outing
 * @returns {number} ms
 */
function lastSeen(household, outing) {
  const facts = ['stop', 'piece', 'purchase']
    .flatMap((type) => household.where(type, 'outing_id', outing.id));
  return Math.max(Date.parse(outing.at), ...facts.map((fact) => Date.parse(fact.at) || 0));
}

/**
 * @param {Household} household
 * @param {Live} stint
 * @param {number} now ms
 * @returns {LeftRunning|null} null while somebody may well be working
 */
function stintLeft(household, stint, now) {
  const since = Date.parse(stint.started_at);
  const over = now - since > (stint.on === household.today() ? STINT_LONG : STINT_NIGHT);
  if (!over) return null;
  const end = clamp(lastTick(household, stint) ?? since + usual(household, stint), since, now);
  return { what: 'stint', record: stint, since: stint.started_at, endAt: iso(end) };
}

/**
 * When a step of the pieces was last ticked after the timer was started, within a long day's work.
 * @param {Household} household
 * @param {Live} stint
 * @returns {number|null} ms
 */
function lastTick(household, stint) {
  const since = Date.parse(stint.started_at);
  const ticks = stint.piece_ids
    .flatMap((/** @type {string} */ id) => household.where('piece_step', 'piece_id', id))
    .map((/** @type {Live} */ step) => Date.parse(step.done_at ?? ''))
    .filter((/** @type {number} */ at) => at > since && at - since <= STINT_LONG);
  return ticks.length ? Math.max(...ticks) : null;
}

/**
 * @param {Household} household
 * @param {Live} stint
 * @returns {number} ms that such work usually takes
 */
function usual(household, stint) {
  const step = household.where('step', 'slug', stint.step ?? '')[0];
  const minutes = (step?.typical_minutes ?? 0) * (stint.units ?? 1) * stint.piece_ids.length;
  return minutes > 0 ? Math.min(minutes * MINUTE, STINT_LONG) : STINT_USUAL;
}

/**
 * End it at a moment that a person named.
 * @param {Household} household
 * @param {LeftRunning} left
 * @param {string} endAt an instant; before the beginning it counts as the beginning
 * @param {number | null} [driven] metres of an outing
 * @returns {Promise<Written>}
 */
export function endLeft(household, { what, record, since }, endAt, driven = null) {
  const end = Math.max(Date.parse(since), Date.parse(endAt));
  if (what === 'outing') return overAt(household, record, iso(end), driven);
  const minutes = Math.min(10_000, Math.max(1, halfUp(end - Date.parse(since), MINUTE)));
  const fields = { stopped_at: iso(end), minutes };
  return household.write([{ type: 'stint', id: record.id, fields }]);
}

/** @param {number} value @param {number} least @param {number} most */
const clamp = (value, least, most) => Math.min(most, Math.max(least, value));

/** @param {number} ms */
const iso = (ms) => new Date(ms).toISOString();
