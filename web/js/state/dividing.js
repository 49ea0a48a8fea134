/** One record that is two pieces, and two records that are one piece. */

import { split } from '../basis/money.js';
import { canonicalId, sameIds } from '../records/stages.js';
import { booksOf } from './pieces.js';

/** @typedef {import('./household.js').Household} Household */
/** @typedef {import('./household.js').Written} Written */
/** @typedef {import('./memory.js').Live} Live */

/** What a piece that is split off is like, as its set was. */
const ALIKE = [
  'kind', 'title', 'traits', 'found_grade', 'finished_grade', 'flaws', 'ready_at', 'spot_id',
  'width_mm', 'depth_mm', 'height_mm', 'travels_upright', 'weight_g', 'checked',
  'recalls_checked_on', 'outing_id', 'stop_id',
];

/**
 * How many of a set become a piece of their own, and what they are worth against the rest.
 * @typedef {object} Parting
 * @property {number} count at least 1, less than the set has
 * @property {number} childWeight relative worth of those split off
 * @property {number} parentWeight relative worth of those that stay
 */

/**
 * What the set has cost, as far as it is still the set's: splits before took their share along.
 * @param {Household} household
 * @param {string} pieceId
 * @returns {number|null} minor units; null where it is not known
 */
export function costOfSet(household, pieceId) {
  return booksOf(household).lines.find((line) => line.piece === pieceId)?.cost ?? null;
}

/**
 * The cost of both sides, as the books will share it: whole cents that add up.
 * @param {number} cost minor units
 * @param {Parting} parting
 * @returns {{child: number, parent: number}}
 */
export function partingShares(cost, { childWeight, parentWeight }) {
  const [child, parent] = split(cost, [childWeight, parentWeight]);
  return { child, parent };
}

/**
 * Some of a set become a piece of their own. Tag, photos, steps and the asking price stay with
 * the set.
 * @param {Household} household
 * @param {Live} piece the set
 * @param {Parting} parting
 * @returns {Promise<Written>} the ids of the new piece, of the set, and of the split
 */
export function splitOff(household, piece, { count, childWeight, parentWeight }) {
  const when = household.when();
  const id = household.newId();
  const alike = Object.fromEntries(
    ALIKE.filter((name) => piece[name] !== undefined && piece[name] !== null)
      .map((name) => [name, piece[name]]),
  );
  return household.write([
    { type: 'piece', id, fields: { ...alike, ...when, count } },
    { type: 'piece', id: piece.id, fields: { count: (piece.count ?? 1) - count } },
    {
      type: 'split',
      fields: {
        ...when, parent_id: piece.id, child_id: id,
        child_weight: childWeight, parent_weight: parentWeight,
      },
    },
  ]);
}

/**
 * Two records are one and the same piece. The older record stands for both, whichever is named
 * first; everything written on the newer one counts on it.
 * @param {Household} household
 * @param {string} one
 * @param {string} other
 * @returns {Promise<Written>}
 */
export function saySame(household, one, other) {
  const [survivor, duplicate] = one < other ? [one, other] : [other, one];
  const { at } = household.when();
  const fields = { at, duplicate_id: duplicate, survivor_id: survivor };
  return household.write([{ type: 'same_as', fields }]);
}

/**
 * They are different pieces after all: every saying that names the piece is taken back.
 * @param {Household} household
 * @param {string} pieceId
 * @returns {Promise<Written>}
 */
export function sayDifferent(household, pieceId) {
  const said = household.all('same_as')
    .filter((pair) => pair.duplicate_id === pieceId || pair.survivor_id === pieceId);
  return household.write(said.map(({ id }) => ({ type: 'same_as', id, fields: { deleted: true } })));
}

/**
 * The other records of the same piece.
 * @param {Household} household
 * @param {string} pieceId
 * @returns {{survivor: Live|null, others: Live[]}} the record that stands for all, null when it
 *   is this one
 */
export function sameRecords(household, pieceId) {
  const pairs = household.all('same_as');
  const standing = canonicalId(pieceId, pairs);
  const ids = [...sameIds(pieceId, pairs)].filter((id) => id !== pieceId);
  return {
    survivor: standing === pieceId ? null : household.get('piece', standing),
    others: /** @type {Live[]} */ (ids.map((id) => household.get('piece', id)).filter(Boolean)),
  };
}
