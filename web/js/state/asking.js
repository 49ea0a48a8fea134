/** What a piece is asked, was asked and is planned to be asked; and what is said to offers. */

import { allPieces } from './pieces.js';

/** @typedef {import('./household.js').Household} Household */
/** @typedef {import('./household.js').Wish} Wish */
/** @typedef {import('./household.js').Written} Written */
/** @typedef {import('./memory.js').Live} Live */

/**
 * A price and the day from which it is asked.
 * @typedef {{list: number, on: string}} Step minor units; a calendar day
 *
 * An answer a person acts on, to be frozen: what was asked of the book, and what it said.
 * @typedef {{input: any, answer: any}} Said
 */

const DAY = 86_400_000;
const USUAL_HOLD_DAYS = 2;
/** A sale so long after a hold ended still counts as the hold's. */
const GRACE = DAY;
/** Whoever asked longer ago than this is no longer thinking. */
const THINKING = 14 * DAY;

/**
 * The asking prices of a piece since it was last taken off the list, by day.
 * @param {Household} household
 * @param {Live} piece
 * @returns {Live[]}
 */
function pricesOf(household, piece) {
  const off = piece.unlisted_at ?? '';
  return household.where('asking_price', 'piece_id', piece.id)
    .filter(({ at, from_on: on }) => at > off && on)
    .sort((a, b) => (a.from_on + a.at < b.from_on + b.at ? -1 : 1));
}

/**
 * What a piece was really asked so far, the first price first; of several of one day the last.
 * @param {Household} household
 * @param {Live} piece
 * @returns {{amount: number, on: string}[]}
 */
export function askedOf(household, piece) {
  const today = household.today();
  return pricesOf(household, piece)
    .filter(({ planned, from_on: on, amount }) => !planned && on <= today && amount > 0)
    .map(({ amount, from_on: on }) => ({ amount, on }))
    .filter(({ on }, i, all) => on !== all[i + 1]?.on);
}

/**
 * The drops that are planned and not made yet, the next one first.
 * @param {Household} household
 * @param {Live} piece
 * @returns {Live[]}
 */
export function plannedOf(household, piece) {
  return pricesOf(household, piece).filter(({ planned }) => planned);
}

/**
 * The drop that should have been made by now: the latest of those that are due, unless the price
 * is as low already, or the piece is promised or gone.
 * @param {Household} household
 * @param {import('./pieces.js').PieceView} view
 * @returns {Live|null}
 */
export function dropDue(household, { piece, stage, asking }) {
  if (stage !== 'listed' && stage !== 'ready') return null;
  const today = household.today();
  const due = plannedOf(household, piece).filter(({ from_on: on }) => on <= today).at(-1) ?? null;
  return due && asking && due.amount >= asking.amount ? null : due;
}

/**
 * All drops that are due, the oldest first.
 * @param {Household} household
 */
export function dropsDue(household) {
  return allPieces(household)
    .flatMap((view) => {
      const drop = dropDue(household, view);
      return drop ? [{ view, drop }] : [];
    })
    .sort((a, b) => (a.drop.from_on < b.drop.from_on ? -1 : 1));
}

/**
 * The price was dropped where the piece is listed: from today on it is asked. What was due before
 * it is overtaken.
 * @param {Household} household
 * @param {Live} piece
 * @param {Live} drop
 * @returns {Promise<Written>}
 */
export function makeDrop(household, piece, drop) {
  const { at, on } = household.when();
  const overtaken = plannedOf(household, piece)
    .filter((one) => one.id !== drop.id && one.from_on <= drop.from_on);
  return household.write([
    { type: 'asking_price', id: drop.id, fields: { planned: false, at, from_on: on } },
    ...overtaken.map(gone),
  ]);
}

/**
 * A drop that is due is left out after all: the price stays, later drops stay planned.
 * @param {Household} household
 * @param {Live} piece
 * @param {Live} drop
 * @returns {Promise<Written>}
 */
export function skipDrop(household, piece, drop) {
  const due = plannedOf(household, piece).filter((one) => one.from_on <= drop.from_on);
  return household.write(due.map(gone));
}

/**
 * Ask a price from its day on, with drops to follow; drops planned before are given up.
 * @param {Household} household
 * @param {Live} piece
 * @param {Step[]} steps the first one is what to ask now, or from a later day on
 * @param {Said|null} said what the answer was, where one was given
 * @returns {Promise<Written>}
 */
export function askBy(household, piece, steps, said) {
  const { at, on } = household.when();
  const now = askedOf(household, piece).at(-1)?.amount;
  const fresh = steps.filter(({ list, on: from }, i) => i > 0 || from > on || list !== now);
  return household.write([
    ...plannedOf(household, piece).map(gone),
    ...fresh.map(({ list, on: from }) => ({
      type: 'asking_price',
      fields: { piece_id: piece.id, amount: list, at, from_on: from, planned: from > on },
    })),
    ...frozen(household, piece, 'asking', said),
  ]);
}

/**
 * Ask a price of one's own from a day on; one of a later day is a planned drop.
 * @param {Household} household
 * @param {Live} piece
 * @param {{amount: number, from: string}} price
 * @param {Said|null} said
 * @returns {Promise<Written>}
 */
export function askOwn(household, piece, { amount, from }, said) {
  const { at, on } = household.when();
  const fields = { piece_id: piece.id, amount, at, from_on: from, planned: from > on };
  return household.write([
    { type: 'asking_price', fields }, ...frozen(household, piece, 'asking', said),
  ]);
}

/**
 * Give up the drops that are planned.
 * @param {Household} household
 * @param {Live} piece
 * @returns {Promise<Written>}
 */
export function dropPlan(household, piece) {
  return household.write(plannedOf(household, piece).map(gone));
}

/** @param {{id: string}} record @returns {Wish} */
function gone({ id }) {
  return { type: 'asking_price', id, fields: { deleted: true } };
}

/**
 * What was said to an offer. A counter that is agreed to later is `taken` with its amount kept.
 * @param {Household} household
 * @param {Live} piece
 * @param {Live} offer
 * @param {{answer: 'taken'|'countered'|'declined', counter?: number|null}} words
 * @param {Said|null} said
 * @returns {Promise<Written>}
 */
export function answerTo(household, piece, offer, { answer, counter = null }, said) {
  return household.write([
    { type: 'offer', id: offer.id, fields: { answer, counter } },
    ...frozen(household, piece, 'offer', said),
  ]);
}

/**
 * What was agreed with a buyer since the piece was last sold: the offer taken, or the counter
 * they agreed to.
 * @param {Household} household
 * @param {string} pieceId
 * @returns {number|null} minor units
 */
export function agreedOn(household, pieceId) {
  const sold = household.where('sale', 'piece_id', pieceId).map(({ at }) => at).sort().at(-1) ?? '';
  const taken = household.where('offer', 'piece_id', pieceId)
    .filter(({ answer, at }) => answer === 'taken' && at > sold)
    .sort((a, b) => (a.at < b.at ? -1 : 1)).at(-1);
  return taken ? taken.counter ?? taken.amount : null;
}

/**
 * How often a promised buyer did not come: holds that are over, those without a sale, and the
 * days a hold takes.
 * @param {Household} household
 * @returns {{holds: number, failed: number, hold_days: number}}
 */
export function holdRecord(household) {
  const { at: now } = household.when();
  const over = household.all('hold').filter((hold) => hold.released_at || hold.until_at <= now);
  const failed = over.filter((hold) => !ledToSale(household, hold));
  const days = over.map((hold) => (Date.parse(hold.until_at) - Date.parse(hold.at)) / DAY);
  const mean = days.reduce((sum, one) => sum + one, 0) / days.length;
  const usual = days.length ? Math.min(90, Math.max(0, Math.round(mean))) : USUAL_HOLD_DAYS;
  return { holds: over.length, failed: failed.length, hold_days: usual };
}

/** @param {Household} household @param {Live} hold */
function ledToSale(household, hold) {
  const latest = Date.parse(hold.until_at) + GRACE;
  return household.where('sale', 'piece_id', hold.piece_id)
    .some(({ at }) => at >= hold.at && Date.parse(at) <= latest);
}

/**
 * How many are still thinking about a piece: who asked of late and is not the one who offers.
 * @param {Household} household
 * @param {Live} offer
 */
export function othersThinking(household, offer) {
  const since = household.now().getTime() - THINKING;
  return household.where('inquiry', 'piece_id', offer.piece_id)
    .filter(({ id, at, closed_at: closed }) =>
      id !== offer.inquiry_id && !closed && Date.parse(at) >= since).length;
}

/**
 * @param {Household} household
 * @param {Live} piece
 * @param {'asking'|'offer'} forWhat
 * @param {Said|null} said
 * @returns {Wish[]}
 */
function frozen(household, piece, forWhat, said) {
  if (!said?.answer.ok) return [];
  const fields = {
    ...household.when(), piece_id: piece.id, for_what: forWhat,
    book: String(household.book?.version ?? ''), inputs: said.input, answer: said.answer,
  };
  return [{ type: 'prediction', fields }];
}
