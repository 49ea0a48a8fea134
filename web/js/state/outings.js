/** The outing itself: begun, at its next sale, over. How it stands is in `outing.js`. */

import { withoutBlanks } from './finds.js';
import { runningOuting } from './outing.js';

/** @typedef {import('./household.js').Household} Household */
/** @typedef {import('./household.js').Wish} Wish */
/** @typedef {import('./household.js').Written} Written */
/** @typedef {import('./memory.js').Live} Live */
/**
 * @typedef {{name: string, closes: string, here?: boolean}} Stop closes "HH:MM", this device's
 *   time, or ""; `here`: its place is to be kept
 */

/**
 * Start an outing, at its first sale if one was named.
 * @param {Household} household
 * @param {Stop & {cash: number | null, hours: number | null}} typed cash in minor units, hours as
 *   minutes
 * @returns {Promise<Written>}
 */
export function startOuting(household, { cash, hours, ...stop }) {
  const id = household.newId();
  const fields = withoutBlanks({ ...household.when(), cash, minutes_limit: hours });
  return household.write([{ type: 'outing', id, fields }, ...stopAt(household, id, stop)]);
}

/**
 * At another sale of the outing under way; nothing without one.
 * @param {Household} household
 * @param {Stop} stop
 * @returns {Promise<Written>}
 */
export function addStop(household, stop) {
  const running = runningOuting(household);
  return household.write(running ? stopAt(household, running.outing.id, stop) : []);
}

/**
 * The outing under way is over; nothing without one.
 * @param {Household} household
 * @param {number | null} driven metres, null when not said
 * @returns {Promise<Written>}
 */
export function endOuting(household, driven) {
  const outing = runningOuting(household)?.outing;
  return outing ? overAt(household, outing, household.when().at, driven) : household.write([]);
}

/**
 * An outing was over at a moment.
 * @param {Household} household
 * @param {Live} outing
 * @param {string} at
 * @param {number | null} driven metres, null when not said
 * @returns {Promise<Written>}
 */
export function overAt(household, outing, at, driven) {
  const miles = {
    distance_m: driven, destination: placesOf(household, outing), purpose: 'buying',
  };
  const fields = { ended_at: at, ...(driven === null ? {} : miles) };
  return household.write([{ type: 'outing', id: outing.id, fields }]);
}

/**
 * The sales of an outing by name, for its record of miles.
 * @param {Household} household
 * @param {Live} outing
 */
function placesOf(household, outing) {
  const stops = household.where('stop', 'outing_id', outing.id);
  const names = stops.map((stop) => stop.name).filter(Boolean);
  return names.join(', ').slice(0, 200) || 'sales';
}

/** @param {Household} household @param {string} outing @param {Stop} stop @returns {Wish[]} */
function stopAt(household, outing, { name, closes, here }) {
  if (!name && !closes && !here) return [];
  const closesAt = closes ? new Date(`${household.today()}T${closes}`).toISOString() : null;
  const fields = { ...household.when(), outing_id: outing, name, closes_at: closesAt };
  return [{ type: 'stop', fields: withoutBlanks(fields) }];
}
