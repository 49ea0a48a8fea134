/** Tags as facts: which pieces a code is bound to, and binding it. Knows only the household. */

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
 * Save a find that has nothing but its tag yet.
 * @param {any} household
 * @param {string} code
 * @returns {Promise<{pieceId: string, undo: () => Promise<unknown>}>}
 */
export async function findWithTag(household, code) {
  const pieceId = household.newId();
  const when = household.when();
  const tag = { code, piece_id: pieceId, bound_at: when.at };
  const { undo } = await household.write([
    { type: 'piece', id: pieceId, fields: when }, { type: 'tag', fields: tag },
  ]);
  return { pieceId, undo };
}
