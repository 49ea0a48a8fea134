/**
 * The stage of a piece, from its facts alone; mirrors records/stages.py, which says why the
 * order is as it is. Facts are records as the household gives them (`{id, ...fields}`).
 */

/** @typedef {import("../basis/clock.js").AsOf} AsOf */
/** @typedef {Record<string, any>} Fact */

/**
 * All that decides the stage of one piece; what is absent is empty. `purchase` is the record
 * that its `purchase_id` names, or the parent's for a piece split off, null where not known.
 * @typedef {{id: string, piece: Fact, purchase?: Fact | null, steps?: Fact[], stints?: Fact[],
 *   askingPrices?: Fact[], holds?: Fact[], sales?: Fact[], returns?: Fact[], splits?: Fact[],
 *   sameAs?: Fact[]}} PieceFacts
 */

/**
 * Which sale counts: the earliest that did not come back into stock; further ones are in
 * question, those that came back are returned. All in order of (at, id).
 * @typedef {{live: Fact | null, inQuestion: Fact[], returned: Fact[]}} SaleStanding
 */

/** In order of precedence. */
export const STAGES = [
  'duplicate', 'divided', 'sold', 'kept', 'let_go', 'on_hold', 'listed', 'ready', 'in_work',
  'to_fetch', 'bought', 'passed', 'seen',
];

/**
 * The facts that are not deleted.
 * @param {Iterable<Fact>} facts
 * @returns {Fact[]}
 */
export function live(facts) {
  return [...facts].filter((fact) => fact.deleted !== true);
}

/**
 * @param {string[]} a
 * @param {string[]} b
 * @returns {number} order of two lists of texts
 */
function compareTexts(a, b) {
  const i = a.findIndex((text, at) => text !== b[at]);
  return i < 0 ? 0 : a[i] < b[i] ? -1 : 1;
}

/**
 * @param {Iterable<Fact>} facts
 * @returns {Fact[]}
 */
function byTime(facts) {
  return live(facts).sort((a, b) => compareTexts([a.at ?? '', a.id], [b.at ?? '', b.id]));
}

/**
 * All ids that are said to be one and the same piece, over any chain or cycle of pairs.
 * @param {string} pieceId
 * @param {Iterable<Fact>} sameAs
 * @returns {Set<string>}
 */
export function sameIds(pieceId, sameAs) {
  const pairs = live(sameAs)
    .map((pair) => [pair.duplicate_id, pair.survivor_id])
    .filter((pair) => pair.every(Boolean));
  const found = new Set([pieceId]);
  for (const one of found) {
    for (const pair of pairs) if (pair.includes(one)) pair.forEach((id) => found.add(id));
  }
  return found;
}

/**
 * The id that stands for all ids of the same piece: the smallest, whoever said so first.
 * @param {string} pieceId
 * @param {Iterable<Fact>} sameAs
 * @returns {string}
 */
export function canonicalId(pieceId, sameAs) {
  return [...sameIds(pieceId, sameAs)].reduce((a, b) => (a < b ? a : b));
}

/**
 * Which sale counts, which are in question, which came back into stock.
 * @param {Iterable<Fact>} sales
 * @param {Iterable<Fact>} returns
 * @returns {SaleStanding}
 */
export function saleStanding(sales, returns) {
  const back = live(returns).filter((fact) => fact.back_in_stock === true);
  const backIds = new Set(back.map((fact) => fact.sale_id));
  const ordered = byTime(sales);
  const standing = ordered.filter((sale) => !backIds.has(sale.id));
  const returned = ordered.filter((sale) => backIds.has(sale.id));
  return { live: standing[0] ?? null, inQuestion: standing.slice(1), returned };
}

/**
 * The sale that counts, or null.
 * @param {Iterable<Fact>} sales
 * @param {Iterable<Fact>} returns
 * @returns {Fact | null}
 */
export function liveSale(sales, returns) {
  return saleStanding(sales, returns).live;
}

/**
 * The hold that stands at the moment: not released, its time not over; the earliest made.
 * @param {Iterable<Fact>} holds
 * @param {AsOf} asOf
 * @returns {Fact | null}
 */
export function liveHold(holds, asOf) {
  const standing = byTime(holds).filter((hold) => !hold.released_at);
  return standing.find((hold) => (hold.until_at ?? '') > asOf.at) ?? null;
}

/**
 * The asking price of the day, or null when the piece is not listed. The latest day counts
 * that has come, of several the one written last; prices set before the piece was taken off
 * the list do not.
 * @param {Fact} piece
 * @param {Iterable<Fact>} askingPrices
 * @param {AsOf} asOf
 * @returns {Fact | null}
 */
export function currentAsking(piece, askingPrices, asOf) {
  const off = piece.unlisted_at ?? '';
  const begun = live(askingPrices).filter(
    (price) => price.from_on && price.from_on <= asOf.on && price.at && price.at > off
      && price.planned !== true,
  );
  begun.sort((a, b) => compareTexts([a.from_on, a.at, a.id], [b.from_on, b.at, b.id]));
  return begun.at(-1) ?? null;
}

/**
 * Whether a set was divided until nothing was left of it (no share stayed with it).
 * @param {string} pieceId
 * @param {Iterable<Fact>} splits
 * @returns {boolean}
 */
export function isDivided(pieceId, splits) {
  return live(splits).some((split) => split.parent_id === pieceId && split.parent_weight === 0);
}

/**
 * Whether the piece was bought, was there at the start, or was split off another.
 * @param {PieceFacts} facts
 * @returns {boolean}
 */
export function isOwned({ id, piece, purchase = null, splits = [] }) {
  if (piece.opening_on || (piece.opening_cost ?? null) !== null) return true;
  if (live(splits).some((split) => split.child_id === id)) return true;
  return Boolean(piece.purchase_id) && (purchase === null || live([purchase]).length > 0);
}

/**
 * @param {Fact | null} purchase
 * @returns {boolean}
 */
function waitsToBeFetched(purchase) {
  if (!purchase || !live([purchase]).length || purchase.fetched_at) return false;
  return Boolean(purchase.fetch_by || purchase.fetch_where);
}

/**
 * @param {PieceFacts} facts
 * @returns {boolean}
 */
function isWorkedOn({ stints = [], steps = [] }) {
  return live(stints).length > 0 || live(steps).some((step) => step.done_at);
}

/**
 * @param {PieceFacts} facts
 * @returns {string | null}
 */
function ended({ id, piece, sales = [], returns = [], splits = [], sameAs = [] }) {
  if (canonicalId(id, sameAs) !== id) return 'duplicate';
  if (isDivided(id, splits)) return 'divided';
  if (liveSale(sales, returns)) return 'sold';
  if (piece.kept_at) return 'kept';
  return piece.let_go_at ? 'let_go' : null;
}

/**
 * @param {PieceFacts} facts
 * @param {AsOf} asOf
 * @returns {string | null}
 */
function offered({ piece, holds = [], askingPrices = [] }, asOf) {
  if (liveHold(holds, asOf)) return 'on_hold';
  return currentAsking(piece, askingPrices, asOf) ? 'listed' : null;
}

/**
 * @param {PieceFacts} facts
 * @returns {string}
 */
function inHand(facts) {
  if (facts.piece.ready_at) return 'ready';
  if (isWorkedOn(facts)) return 'in_work';
  if (isOwned(facts)) return waitsToBeFetched(facts.purchase ?? null) ? 'to_fetch' : 'bought';
  return facts.piece.passed_at ? 'passed' : 'seen';
}

/**
 * The stage of a piece, one of `STAGES`. `asOf` decides on holds and asking prices only: a fact
 * counts because it was written.
 * @param {PieceFacts} facts
 * @param {AsOf} asOf
 * @returns {string}
 */
export function stage(facts, asOf) {
  return ended(facts) ?? offered(facts, asOf) ?? inHand(facts);
}
