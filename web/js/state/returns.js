/** Going back for finds: when one was seen last, and what a return teaches. */

/** @typedef {import('./household.js').Household} Household */
/** @typedef {import('./household.js').Written} Written */
/** @typedef {import('./memory.js').Live} Live */
/** @typedef {import('../pricing/going-back.js').Place} Place */

const MICRO = 1e6;

/** @param {Household} household @param {string} id of a piece @returns {Live[]} latest first */
function visitsTo(household, id) {
  return household.where('visit', 'piece_id', id).sort((a, b) => b.at.localeCompare(a.at));
}

/**
 * Whether one went back and it was gone; one that was looked at again since is there.
 * @param {Household} household
 * @param {string} id of a find
 */
export function isGone(household, id) {
  const [last] = visitsTo(household, id);
  const piece = household.get('piece', id);
  const looked = [piece?.at, piece?.passed_at, piece?.later_at].map((at) => at ?? '').sort().at(-1);
  return last?.found === false && last.at > looked;
}

/**
 * When a find was seen there last: on the last return that found it, else at first.
 * @param {Household} household
 * @param {Live} piece
 * @returns {string} an instant
 */
export function lastSeen(household, piece) {
  return visitsTo(household, piece.id).find(({ found }) => found)?.at ?? piece.at;
}

/**
 * What is known of the sale a find stands at.
 * @param {Household} household
 * @param {Live} piece
 * @returns {{name: string, closesAt: string|null, place: Place|null}}
 */
export function saleOf(household, piece) {
  const stop = piece.stop_id ? household.get('stop', piece.stop_id) : null;
  const known = Number.isFinite(stop?.latitude_udeg) && Number.isFinite(stop?.longitude_udeg);
  return {
    name: stop?.name ?? '',
    closesAt: stop?.closes_at ?? null,
    place: stop && known ? [stop.latitude_udeg / MICRO, stop.longitude_udeg / MICRO] : null,
  };
}

/**
 * Went back for a find: it was there, or it was gone.
 * @param {Household} household
 * @param {Live} piece
 * @param {{found: boolean, closesAt: string|null}} outcome
 * @returns {Promise<Written>}
 */
export function noteReturn(household, piece, { found, closesAt }) {
  const fields = {
    ...household.when(), piece_id: piece.id, found, seen_at: lastSeen(household, piece),
    ...(closesAt ? { closes_at: closesAt } : {}),
  };
  return household.write([{ type: 'visit', fields }]);
}

/**
 * Keep where a sale is.
 * @param {Household} household
 * @param {string} stop its id
 * @param {Place} place
 * @returns {Promise<Written>}
 */
export function keepPlace(household, stop, [latitude, longitude]) {
  const fields = {
    latitude_udeg: Math.round(latitude * MICRO), longitude_udeg: Math.round(longitude * MICRO),
  };
  return household.write([{ type: 'stop', id: stop, fields }]);
}
