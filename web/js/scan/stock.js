/**
 * A stock check: what was scanned in a spot, set beside what should stand there. Pure.
 */

/**
 * @typedef {object} Standing
 * @property {string} id the piece's
 * @property {string|null} [spot_id] where it should stand
 */

/**
 * @typedef {object} StockCheck
 * @property {string[]} found ids of pieces that stand where they should
 * @property {string[]} missing ids of pieces with a tag that should stand here, not scanned yet
 * @property {string[]} untagged ids of pieces that should stand here and cannot be scanned
 * @property {string[]} elsewhere ids of pieces that were scanned here and should not stand here
 * @property {string[]} unbound scanned codes that belong to no piece
 */

/**
 * @param {object} what
 * @param {string} what.spotId the spot that is checked
 * @param {readonly Standing[]} what.pieces all pieces that stand somewhere
 * @param {ReadonlyMap<string, string>} what.pieceOf the piece's id by tag code
 * @param {readonly string[]} what.scanned codes in the order they were scanned
 * @returns {StockCheck}
 */
export function compareStock({ spotId, pieces, pieceOf, scanned }) {
  const codes = [...new Set(scanned)];
  const seen = new Set(codes.flatMap((code) => pieceOf.get(code) ?? []));
  const tagged = new Set(pieceOf.values());
  const here = pieces.filter((piece) => piece.spot_id === spotId).map((piece) => piece.id);
  const due = new Set(here);
  return {
    found: here.filter((id) => seen.has(id)),
    missing: here.filter((id) => !seen.has(id) && tagged.has(id)),
    untagged: here.filter((id) => !seen.has(id) && !tagged.has(id)),
    elsewhere: [...seen].filter((id) => !due.has(id)),
    unbound: codes.filter((code) => !pieceOf.has(code)),
  };
}

/**
 * What the flash says about one scanned code: the sign is a shape and a word, not a colour alone.
 * @param {StockCheck} before
 * @param {StockCheck} after
 * @returns {'found'|'elsewhere'|'unbound'|'again'}
 */
export function outcomeOf(before, after) {
  if (after.found.length > before.found.length) return 'found';
  if (after.elsewhere.length > before.elsewhere.length) return 'elsewhere';
  if (after.unbound.length > before.unbound.length) return 'unbound';
  return 'again';
}
