import { halfUp } from '../basis/rounding.js';
import { toText } from '../basis/clock.js';
import { newTagCode } from '../basis/ids.js';

/** @typedef {import('./household.js').Household} Household */
/** @typedef {import('./household.js').Wish} Wish */
/** @typedef {import('./household.js').Written} Written */

const PPM = 1_000_000;

/**
 * Put a tag on a piece. A tag that was made or printed blank becomes the piece's.
 * @param {Household} household
 * @param {string} code with its check symbol
 * @param {string} pieceId
 * @returns {Promise<Written>}
 */
export function bindTag(household, code, pieceId) {
  const known = household.where('tag', 'code', code).find((tag) => !tag.piece_id);
  const fields = { code, piece_id: pieceId, bound_at: household.when().at };
  return household.write([{ type: 'tag', id: known?.id, fields }]);
}

/**
 * A new code for a piece that has no tag yet, to be printed or written on by hand.
 * @param {Household} household
 * @param {string} pieceId
 * @returns {Promise<Written>}
 */
export function makeTag(household, pieceId) {
  return bindTag(household, newTagCode(household.env.randomBytes), pieceId);
}

/**
 * @param {Household} household
 * @param {string} pieceId
 * @param {{step: string, units: number}} chosen
 * @returns {Promise<Written>}
 */
export function chooseStep(household, pieceId, { step, units }) {
  const sort = household.where('piece_step', 'piece_id', pieceId).length;
  return household.write([{ type: 'piece_step', fields: { piece_id: pieceId, step, units, sort } }]);
}

/**
 * @param {Household} household
 * @param {string} id of the piece_step
 * @param {boolean} done
 * @returns {Promise<Written>}
 */
export function tickStep(household, id, done) {
  const doneAt = done ? household.when().at : null;
  return household.write([{ type: 'piece_step', id, fields: { done_at: doneAt } }]);
}

/**
 * Start the timer over one or several pieces.
 * @param {Household} household
 * @param {{pieceIds: string[], step: string|null, units: number}} work
 * @returns {Promise<Written>}
 */
export function startStint(household, { pieceIds, step, units }) {
  const { at, on } = household.when();
  return household.write([{
    type: 'stint', fields: { piece_ids: pieceIds, step, units, started_at: at, on },
  }]);
}

/**
 * Stop the timer; minutes are whole, at least one. A stint that was stopped already stays so.
 * @param {Household} household
 * @param {string} id
 * @returns {Promise<Written>}
 */
export function stopStint(household, id) {
  const stint = household.get('stint', id);
  if (!stint || stint.stopped_at) return household.write([]);
  const { at } = household.when();
  const ms = Math.max(0, Date.parse(at) - Date.parse(stint.started_at));
  const minutes = Math.max(1, halfUp(ms, 60_000));
  return household.write([{ type: 'stint', id, fields: { stopped_at: at, minutes } }]);
}

/**
 * @param {Household} household
 * @param {string} pieceId
 * @param {string|null} spotId
 * @returns {Promise<Written>}
 */
export function setSpot(household, pieceId, spotId) {
  return household.write([{ type: 'piece', id: pieceId, fields: { spot_id: spotId } }]);
}

/**
 * @param {Household} household
 * @param {string} pieceId
 * @returns {Promise<Written>}
 */
export function markReady(household, pieceId) {
  const readyAt = household.when().at;
  return household.write([{ type: 'piece', id: pieceId, fields: { ready_at: readyAt } }]);
}

/**
 * A piece that leaves without a sale: kept for ourselves, or let go. Empty is back in hand.
 * @param {Household} household
 * @param {string} pieceId
 * @param {"kept"|"given"|"dumped"|"parts"|"lost"|""} how
 * @returns {Promise<Written>}
 */
export function endPiece(household, pieceId, how) {
  const { at } = household.when();
  const isLetGo = how !== '' && how !== 'kept';
  const fields = {
    kept_at: how === 'kept' ? at : null,
    let_go_at: isLetGo ? at : null,
    let_go_how: isLetGo ? how : null,
  };
  return household.write([{ type: 'piece', id: pieceId, fields }]);
}

/**
 * What was paid and left to be fetched later is here now.
 * @param {Household} household
 * @param {string} purchaseId
 * @returns {Promise<Written>}
 */
export function markFetched(household, purchaseId) {
  const { at } = household.when();
  return household.write([{ type: 'purchase', id: purchaseId, fields: { fetched_at: at } }]);
}

/**
 * A moment on a day that a person named: now when it is today, else that day's noon.
 * @param {Household} household
 * @param {string} on
 * @returns {{at: string, on: string}}
 */
export function onDay(household, on) {
  if (on === household.today()) return household.when();
  const noon = new Date(`${on}T12:00:00`);
  return { at: Number.isNaN(noon.getTime()) ? on : toText(noon), on };
}

/**
 * The selling fee of a price, by the household's numbers; minor units, half up.
 * @param {Household} household
 * @param {number} price
 */
export function usualFee(household, price) {
  const { fee_ppm: ppm, fee_fixed: fixed } = household.setting;
  return halfUp(BigInt(price) * BigInt(ppm ?? 0), PPM) + (fixed ?? 0);
}

/**
 * @typedef {object} SaleTerms
 * @property {number} price minor units
 * @property {number|null} [fee]
 * @property {number|null} [delivery_charged]
 * @property {string|null} [buyer]
 * @property {"pickup"|"delivery"|"shipped"} [handover]
 * @property {boolean} [handedOver] it has left already
 * @property {string} [on] the day of the sale; today unless told
 */

/**
 * Sold: the sale with its receipt number, and holds on the piece are released.
 * @param {Household} household
 * @param {string} pieceId
 * @param {SaleTerms} terms
 * @returns {Promise<Written>}
 */
export function sell(household, pieceId, terms) {
  const { handedOver = true, handover = 'pickup', on = household.today(), ...money } = terms;
  const when = onDay(household, on);
  const holds = household.where('hold', 'piece_id', pieceId).filter((hold) => !hold.released_at);
  return household.write([
    {
      type: 'sale',
      fields: {
        ...when, piece_id: pieceId, ...money, handover,
        handed_over_at: handedOver ? when.at : null,
      },
      numbered: true,
    },
    ...holds.map(({ id }) => ({ type: 'hold', id, fields: { released_at: when.at } })),
  ]);
}

/**
 * @param {Household} household
 * @param {string} pieceId
 * @param {Blob} blob as the camera gave it
 * @returns {Promise<Written>}
 */
export async function bringPhoto(household, pieceId, blob) {
  const picture = await household.savePhoto(blob);
  const sort = household.where('photo', 'piece_id', pieceId).length;
  const fields = { at: household.when().at, piece_id: pieceId, ...picture, purpose: 'find', sort };
  return household.write([{ type: 'photo', fields }]);
}

/**
 * @param {Household} household
 * @param {string} pieceId
 * @returns {Promise<Written>}
 */
export function deletePiece(household, pieceId) {
  return household.write([{ type: 'piece', id: pieceId, fields: { deleted: true } }]);
}
