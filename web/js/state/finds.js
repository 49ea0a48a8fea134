/** What a person decides at the sale, as one write each: all of it is kept, or nothing. */

import { askedFor, shareWeights } from './lot-shares.js';

/** @typedef {import('./household.js').Household} Household */
/** @typedef {import('./household.js').Wish} Wish */
/** @typedef {import('./household.js').Written} Written */
/** @typedef {import('./outing.js').Running} Running */

/**
 * A find while it is being looked at; names as in the records of pieces.
 * @typedef {object} Find
 * @property {string | null} id of a piece that is looked at again
 * @property {string | null} kind
 * @property {string} title
 * @property {number} count
 * @property {string[]} traits
 * @property {number | null} found_grade
 * @property {string[]} flaws
 * @property {string[]} steps slugs
 * @property {number | null} ask
 * @property {number | null} likely
 * @property {number | null} low
 * @property {number | null} high
 * @property {number | null} typed_minutes
 * @property {number | null} typed_supplies
 * @property {string} note
 * @property {{sha256: string, width: number, height: number}[]} photos
 * @property {Record<string, any> | null} size measured for the car while it has no record yet:
 *   sides in mm, and `travels_upright`
 */

/**
 * A find with what the pad was asked and said of it.
 * @typedef {object} Look
 * @property {Find} find
 * @property {{input: any, answer: any, running: Running | null}} view
 */

/**
 * What was agreed.
 * @typedef {object} Terms
 * @property {number} paid minor units, for all of it
 * @property {string} [id] of the piece, where the find has none yet
 * @property {Look[]} [together] further finds, known already, that the same money paid for
 * @property {{by: Date | null, where: string} | null} [fetch] null: it is in the car
 */

/** @typedef {'passed' | 'later' | 'bought'} How */

/**
 * Keep a find as passed, with its steps and photos and the answer as it stood at that moment.
 * @param {Household} household
 * @param {Look} look
 * @returns {Promise<Written>}
 */
export function pass(household, look) {
  const decided = { passed_at: household.when().at, later_at: null };
  return household.write(keeping(household, look, { how: 'passed', decided }));
}

/**
 * Keep a find as left for later, likewise.
 * @param {Household} household
 * @param {Look} look
 * @returns {Promise<Written>}
 */
export function later(household, look) {
  const decided = { passed_at: null, later_at: household.when().at };
  return household.write(keeping(household, look, { how: 'later', decided }));
}

/**
 * Keep a find as bought, likewise, with what was paid for it. Further finds bought with it share
 * the one purchase and have each an answer of that moment.
 * @param {Household} household
 * @param {Look} look
 * @param {Terms} terms
 * @returns {Promise<Written>}
 */
export function buy(household, look, terms) {
  return household.write(buying(household, look, terms));
}

/**
 * Keep several finds as bought, each at its own price, in one write.
 * @param {Household} household
 * @param {{look: Look, paid: number}[]} bought
 * @returns {Promise<Written>}
 */
export function buyEach(household, bought) {
  return household.write(bought.flatMap(({ look, paid }) => buying(household, look, { paid })));
}

/**
 * @param {Household} household
 * @param {Look} look
 * @param {Terms} terms
 * @returns {Wish[]}
 */
function buying(household, look, { id = household.newId(), together = [], ...terms }) {
  const looks = [look, ...together];
  const purchase = purchaseOf(household, look, { ...terms, ask: askedFor(looks) });
  const weights = shareWeights(looks);
  const decided = (/** @type {number} */ i) => ({
    passed_at: null, later_at: null, purchase_id: purchase.id,
    ...(together.length ? { share_weight: weights[i] } : {}),
  });
  return [
    purchase,
    ...keeping(household, look, { how: 'bought', decided: decided(0), id }),
    ...together.flatMap((one, i) => added(household, one, decided(i + 1))),
  ];
}

/**
 * A find that was kept before, bought now: only what was decided about it changes.
 * @param {Household} household
 * @param {Look} look
 * @param {Record<string, any>} decided
 * @returns {Wish[]}
 */
function added(household, look, decided) {
  const id = String(look.find.id);
  const piece = { type: 'piece', id, fields: decided };
  return [piece, ...predictionOf(household, id, look, 'bought')];
}

/**
 * The piece and what belongs to it, as one looked at it.
 * @param {Household} household
 * @param {Look} look
 * @param {{how: How, decided: Record<string, any>, id?: string}} decision `id` for a new piece
 * @returns {Wish[]}
 */
function keeping(household, look, { how, decided, ...fresh }) {
  const id = look.find.id ?? fresh.id ?? household.newId();
  return [
    pieceOf(household, id, look, decided),
    ...stepsOf(household, id, look.find),
    ...photosOf(household, id, look.find),
    ...predictionOf(household, id, look, how),
  ];
}

/**
 * @param {Household} household
 * @param {string} id
 * @param {Look} look
 * @param {Record<string, any>} decided
 * @returns {Wish}
 */
function pieceOf(household, id, { find, view }, decided) {
  const { id: known, steps: _steps, photos: _photos, size, ...fields } = find;
  const begun = known ? {} : { ...size, ...household.when(), ...placeOf(view) };
  const said = { ...fields, ...decided, ...begun };
  return { type: 'piece', id, fields: known ? blanked(said) : withoutBlanks(said) };
}

/** @param {Look["view"]} view where it was seen */
function placeOf({ running }) {
  return { outing_id: running?.outing.id ?? null, stop_id: running?.stop?.id ?? null };
}

/**
 * @param {Household} household
 * @param {Look} look
 * @param {Terms & {ask: number | null}} terms
 * @returns {Wish & {id: string}}
 */
function purchaseOf(household, { view }, { paid, ask, fetch = null }) {
  const where = fetch ? fetch.where || view.running?.stop?.name || 'Where it was bought' : null;
  const fields = withoutBlanks({
    ...household.when(), total: paid, ask, ...placeOf(view),
    fetch_by: fetch?.by?.toISOString() ?? null, fetch_where: where,
  });
  return { type: 'purchase', id: household.newId(), fields };
}

/** @param {Household} household @param {string} id @param {Find} find @returns {Wish[]} */
function stepsOf(household, id, find) {
  const there = household.where('piece_step', 'piece_id', id);
  const added = find.steps.filter((slug) => !there.some((one) => one.step === slug));
  const dropped = there.filter((one) => !one.done_at && !find.steps.includes(one.step));
  return [
    ...added.map((step, i) => ({
      type: 'piece_step',
      fields: { piece_id: id, step, units: find.count, sort: there.length + i },
    })),
    ...dropped.map((one) => ({ type: 'piece_step', id: one.id, fields: { deleted: true } })),
  ];
}

/** @param {Household} household @param {string} id @param {Find} find @returns {Wish[]} */
function photosOf(household, id, find) {
  const there = household.where('photo', 'piece_id', id);
  const { at } = household.when();
  return find.photos
    .filter(({ sha256 }) => !there.some((photo) => photo.sha256 === sha256))
    .map((photo, i) => ({
      type: 'photo',
      fields: { at, piece_id: id, ...photo, purpose: 'find', sort: there.length + i },
    }));
}

/**
 * The answer, frozen: what was asked of the book, what it said, and which book.
 * @param {Household} household
 * @param {string} id
 * @param {Look} look
 * @param {How} how
 * @returns {Wish[]}
 */
function predictionOf(household, id, { view }, how) {
  const { answer, input } = view;
  if (!answer.ok) return [];
  const book = String(household.book?.version ?? '');
  const fields = { ...household.when(), piece_id: id, for_what: how, book, inputs: input, answer };
  return [{ type: 'prediction', fields }];
}

/**
 * Add a kind, a look or a step that was not in the list.
 * @param {Household} household
 * @param {"kind" | "trait" | "step"} type
 * @param {Record<string, any>} fields
 * @returns {Promise<Written>}
 */
export function addListed(household, type, fields) {
  return household.write([{ type, fields: withoutBlanks(fields) }]);
}

/**
 * A note of what a similar piece is asked or was said to bring elsewhere.
 * @param {Household} household
 * @param {object} seen
 * @param {string} seen.kind
 * @param {string[]} seen.traits
 * @param {number} seen.count
 * @param {number} seen.amount minor units, for all of them
 * @param {boolean} seen.sold it was said to have brought that; else it is only asked
 * @param {string} seen.where
 * @returns {Promise<Written>}
 */
export function noteElsewhere(household, seen) {
  const fields = withoutBlanks({ ...household.when(), ...seen });
  return household.write([{ type: 'seen_elsewhere', fields }]);
}

/**
 * The fields that say something.
 * @param {Record<string, any>} fields
 */
export function withoutBlanks(fields) {
  return Object.fromEntries(
    Object.entries(fields).filter(([, value]) => value !== null && value !== ''),
  );
}

/** @param {Record<string, any>} fields */
function blanked(fields) {
  return Object.fromEntries(
    Object.entries(fields).map(([name, value]) => [name, value === '' ? null : value]),
  );
}
