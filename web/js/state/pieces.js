import { ledger } from '../books/profit.js';
import { purchaseShares } from '../books/stock.js';
import { RECORD_TYPES } from '../records/schema.js';
import { canonicalId, currentAsking, liveHold, liveSale, sameIds, stage } from '../records/stages.js';

/** @typedef {import('./household.js').Household} Household */
/** @typedef {import('./memory.js').Live} Live */

/**
 * A piece as screens need it. `cost` is its share of what was paid (minor units), null where it
 * is not known. `line` is its line of the ledger, worked out only when asked for.
 * @typedef {object} PieceView
 * @property {Live} piece
 * @property {string} stage
 * @property {number|null} cost
 * @property {Live|null} sale the one that counts
 * @property {Live|null} asking the asking price of the day
 * @property {Live|null} hold
 * @property {Live[]} steps in their order
 * @property {Live[]} photos in their order
 * @property {Live|null} tag
 * @property {import('../books/lines.js').Line|null} line
 */

const MINUTE = 60_000;

/** @type {WeakMap<Household, {mark: string, views: Map<string, PieceView>, books: any}>} */
const shelves = new WeakMap();

/**
 * What has been worked out since the last change of a record, within the same minute (holds end,
 * asking prices begin).
 * @param {Household} household
 */
function shelfOf(household) {
  const minute = Math.floor(household.now().getTime() / MINUTE);
  const mark = `${household.memory.version} ${minute}`;
  const known = shelves.get(household);
  if (known?.mark === mark) return known;
  const fresh = { mark, views: new Map(), books: null };
  shelves.set(household, fresh);
  return fresh;
}

/**
 * The books as of now, worked out once for every change of a record.
 * @param {Household} household
 * @returns {import('../books/profit.js').Ledger}
 */
export function booksOf(household) {
  const shelf = shelfOf(household);
  shelf.books ??= ledger(
    Object.fromEntries(Object.keys(RECORD_TYPES).map((type) => [type, household.all(type)])),
    household.when().at,
    household.setting.time_zone ?? 'UTC',
  );
  return shelf.books;
}

/**
 * @param {Household} household
 * @param {string} id of a piece that is there
 * @returns {PieceView}
 */
export function pieceView(household, id) {
  const { views } = shelfOf(household);
  let view = views.get(id);
  if (!view) {
    view = made(household, /** @type {Live} */ (household.get('piece', id)));
    views.set(id, view);
  }
  return view;
}

/**
 * All live pieces, in the order they were first seen.
 * @param {Household} household
 * @returns {PieceView[]}
 */
export function allPieces(household) {
  return household.all('piece').map(({ id }) => pieceView(household, id));
}

/**
 * @param {Household} household
 * @param {Live} piece
 * @returns {PieceView}
 */
function made(household, piece) {
  const ids = recordsOf(household, piece.id);
  const of = (/** @type {string} */ type) => ids.flatMap((id) => household.where(type, 'piece_id', id));
  const whole = wholeOf(household, piece, ids);
  const asOf = household.when();
  const sales = of('sale');
  const returns = sales.flatMap((sale) => household.where('return', 'sale_id', sale.id));
  const facts = {
    id: piece.id, piece: whole, purchase: purchaseOf(household, whole), steps: of('piece_step'),
    stints: ids.flatMap((id) => household.where('stint', 'piece_ids', id)),
    askingPrices: of('asking_price'), holds: of('hold'), sales, returns,
    splits: ids.flatMap((id) => splitsOf(household, id)),
    sameAs: household.all('same_as'),
  };
  return {
    piece,
    stage: stage(facts, asOf),
    cost: ids.length > 1 || facts.splits.length
      ? lineOf(household, piece.id)?.cost ?? null : costOf(household, piece),
    sale: /** @type {Live|null} */ (liveSale(sales, returns)),
    asking: /** @type {Live|null} */ (currentAsking(piece, facts.askingPrices, asOf)),
    hold: /** @type {Live|null} */ (liveHold(facts.holds, asOf)),
    steps: bySort(facts.steps),
    photos: bySort(of('photo')),
    tag: of('tag')[0] ?? null,
    get line() {
      return lineOf(household, piece.id);
    },
  };
}

/**
 * @param {Household} household
 * @param {string} id
 */
const lineOf = (household, id) =>
  booksOf(household).lines.find((line) => line.piece === id) ?? null;

/**
 * The records whose facts count on a piece: its own, and its duplicates' where it stands for them.
 * @param {Household} household
 * @param {string} id
 * @returns {string[]} its own first
 */
export function recordsOf(household, id) {
  const pairs = household.all('same_as');
  if (!pairs.length || canonicalId(id, pairs) !== id) return [id];
  return [...sameIds(id, pairs)];
}

/**
 * A piece with what only its duplicates say of it.
 * @param {Household} household
 * @param {Live} piece
 * @param {string[]} ids of all its records, its own first
 * @returns {Live}
 */
function wholeOf(household, piece, ids) {
  if (ids.length === 1) return piece;
  const others = ids.slice(1).map((id) => household.get('piece', id));
  const known = (/** @type {Live|null} */ one) =>
    Object.fromEntries(Object.entries(one ?? {}).filter(([, value]) => value !== null));
  return Object.assign({}, ...others.reverse().map(known), known(piece));
}

/**
 * The purchase of a piece, or of the set it was split off.
 * @param {Household} household
 * @param {Live} piece
 * @returns {Live|null}
 */
function purchaseOf(household, piece) {
  const parent = household.where('split', 'child_id', piece.id)[0]?.parent_id;
  const id = piece.purchase_id ?? (parent && household.get('piece', parent)?.purchase_id);
  return id ? household.get('purchase', id) : null;
}

/**
 * @param {Household} household
 * @param {string} id
 * @returns {Live[]}
 */
function splitsOf(household, id) {
  return [...household.where('split', 'parent_id', id), ...household.where('split', 'child_id', id)];
}

/**
 * @param {Household} household
 * @param {Live} piece
 * @returns {number|null}
 */
function costOf(household, piece) {
  const purchase = piece.purchase_id ? household.get('purchase', piece.purchase_id) : null;
  if (!purchase) return piece.opening_cost ?? null;
  const siblings = household.where('piece', 'purchase_id', purchase.id);
  return purchaseShares(purchase, siblings).get(piece.id) ?? null;
}

/**
 * @param {Live[]} records
 * @returns {Live[]} by their sort key, then in the order they were made
 */
function bySort(records) {
  return [...records].sort((a, b) => (a.sort ?? 0) - (b.sort ?? 0));
}
