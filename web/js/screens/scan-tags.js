/** Tags as facts: which pieces a code is bound to, and binding it. Knows only the household. */
import { toText } from '../basis/clock.js';

/**
 * @typedef {object} Binding
 * @property {any} tag the tag's record
 * @property {any} piece the piece it is bound to
 */

/**
 * The pieces a code is bound to: none for a blank tag, two when two phones bound it apart.
 * @param {any} household
 * @param {string} code
 * @returns {Binding[]} each piece once, the binding made last first
 */
export function bindingsOf(household, code) {
  const tags = [...household.where('tag', 'code', code)];
  tags.sort((a, b) => ((a.bound_at ?? '') < (b.bound_at ?? '') ? 1 : -1));
  /** @type {Map<string, Binding>} */
  const found = new Map();
  for (const tag of tags) {
    const piece = tag.piece_id ? household.get('piece', tag.piece_id) : null;
    if (piece && !found.has(piece.id)) found.set(piece.id, { tag, piece });
  }
  return [...found.values()];
}

/**
 * Which piece each code is bound to; of two the one bound last.
 * @param {any} household
 * @returns {Map<string, string>} piece id by code
 */
export function pieceByCode(household) {
  const tags = [...household.all('tag')];
  tags.sort((a, b) => ((a.bound_at ?? '') < (b.bound_at ?? '') ? -1 : 1));
  return new Map(tags
    .filter((tag) => tag.piece_id && household.get('piece', tag.piece_id))
    .map((tag) => [tag.code, tag.piece_id]));
}

/**
 * What is written to bind a code: the record of a tag whose piece is gone is used again.
 * @param {any} household
 * @param {string} code
 * @param {string} pieceId
 */
export function bindChange(household, code, pieceId) {
  const idle = household.where('tag', 'code', code)
    .find((/** @type {any} */ tag) => !tag.piece_id || !household.get('piece', tag.piece_id));
  const fields = { code, piece_id: pieceId, bound_at: toText(household.now()) };
  return { type: 'tag', ...(idle ? { id: idle.id } : {}), fields };
}

/**
 * Save a find that has nothing but its tag yet.
 * @param {any} household
 * @param {string} code
 * @returns {Promise<{pieceId: string, undo: () => Promise<unknown>}>}
 */
export async function findWithTag(household, code) {
  const pieceId = household.newId();
  const find = { type: 'piece', id: pieceId, fields: household.when() };
  const { undo } = await household.write([find, bindChange(household, code, pieceId)]);
  return { pieceId, undo };
}
