/** What was said of pieces when they were bought, beside what came of them. */

import { saleStanding } from '../records/stages.js';
import { pieceView } from './pieces.js';

/** @typedef {import('./household.js').Household} Household */
/** @typedef {import('./memory.js').Live} Live */
/** @typedef {import('../pricing/scores.js').Pair} Pair */
/** @typedef {Pair & {id: string, title: string, on: string}} Scored `on`: the day it was bought */

const LEVELS = ['guess', 'thin', 'fair', 'good'];
const DAY = 86_400_000;
const USUAL_HORIZON = 90;
const WIDEST_SPREAD = 10;
/** Rows of the workings that are no part of clear: own time, wishes, rounding, standing cost. */
const NOT_CLEAR = ['standing', 'time', 'min_profit', 'caution', 'note', 'short', 'most'];

/** @param {any} value @returns {number|null} */
const known = (value) => (typeof value === 'number' && Number.isFinite(value) ? value : null);

/**
 * Every bought piece with a frozen answer, in the order they were bought. Pieces that were
 * divided, joined with another record or sold twice are left out: it is not clear what was said
 * of what.
 * @param {Household} household
 * @returns {Scored[]}
 */
export function scoredPieces(household) {
  const unclear = new Set([
    ...household.all('split').flatMap((split) => [split.parent_id, split.child_id]),
    ...household.all('same_as').flatMap((pair) => [pair.duplicate_id, pair.survivor_id]),
  ]);
  /** @type {Map<string, Live>} */
  const said = new Map();
  for (const row of household.all('prediction')) {
    const before = said.get(row.piece_id);
    if (row.for_what === 'bought' && !(before && before.at > row.at)) said.set(row.piece_id, row);
  }
  return [...said.values()]
    .filter(({ piece_id: id }) => household.get('piece', id) && !unclear.has(id))
    .flatMap((row) => scored(household, row) ?? [])
    .sort((a, b) => a.on.localeCompare(b.on));
}

/** @param {Household} household @param {Live} row the prediction @returns {Scored|null} */
function scored(household, { piece_id: id, answer, on }) {
  const shown = shownIn(answer);
  const sales = household.where('sale', 'piece_id', id);
  const returns = sales.flatMap((sale) => household.where('return', 'sale_id', sale.id));
  if (shown === null || saleStanding(sales, returns).inQuestion.length > 0) return null;
  const view = pieceView(household, id);
  const price = view.sale && view.sale.price > 0 ? view.sale.price : null;
  return {
    id, on, title: view.piece.title ?? '', ...shown, price,
    ...minutesOf(view, answer),
    ...standingOf(household, view, answer),
    ...moneyOf(view, answer),
  };
}

/**
 * Range, level and spread of a frozen answer; null unless they are as the pad gives them.
 * @param {any} answer
 * @returns {Pick<Pair, 'low'|'likely'|'high'|'level'|'spread'>|null}
 */
function shownIn(answer) {
  const [low, likely, high] = ['low', 'likely', 'high'].map((name) =>
    known(answer?.range?.[name]) ?? 0);
  const { source, level, spread = 1 } = answer?.evidence ?? {};
  const typed = source === 'typed';
  if (!(low > 0 && low <= likely && likely <= high)) return null;
  if (!typed && !LEVELS.includes(level)) return null;
  if (!(spread >= 1 / WIDEST_SPREAD && spread <= WIDEST_SPREAD)) return null;
  return { low, likely, high, spread, level: typed ? 'typed' : level };
}

/**
 * Minutes at the bench, of pieces whose chosen steps are all done.
 * @param {import('./pieces.js').PieceView} view
 * @param {any} answer
 * @returns {Pick<Pair, 'saidMinutes'|'minutes'>}
 */
function minutesOf(view, answer) {
  const worked = view.line?.work_minutes ?? 0;
  const done = view.steps.length > 0 && view.steps.every((step) => step.done_at);
  return {
    saidMinutes: known(answer.bench?.likely),
    minutes: done && worked > 0 ? worked : null,
  };
}

/**
 * Days on offer and whether it sold in time, of pieces offered long enough ago to know.
 * @param {Household} household
 * @param {import('./pieces.js').PieceView} view
 * @param {any} answer
 * @returns {Pick<Pair, 'saidDays'|'days'|'saidUnsold'|'unsold'>}
 */
function standingOf(household, { piece, sale, stage }, answer) {
  const said = {
    saidDays: known(answer.chances?.days), saidUnsold: known(answer.chances?.unsold),
  };
  const today = household.today();
  const offered = household.where('asking_price', 'piece_id', piece.id)
    .filter(({ planned, from_on: day }) => !planned && day <= today)
    .map((price) => price.from_on).sort()[0];
  const kinds = household.book?.sell?.kinds ?? {};
  const horizon = Object.hasOwn(kinds, piece.kind) ? kinds[piece.kind][2] : USUAL_HORIZON;
  const ended = !sale && (stage === 'kept' || stage === 'let_go');
  if (!offered || ended || daysFrom(offered, today) < horizon) {
    return { ...said, days: null, unsold: null };
  }
  const stood = sale ? Math.max(0, daysFrom(offered, sale.on)) : horizon;
  return { ...said, days: Math.min(horizon, stood), unsold: stood >= horizon };
}

/** @param {string} from @param {string} to days as YYYY-MM-DD */
function daysFrom(from, to) {
  return Math.round((Date.parse(to) - Date.parse(from)) / DAY);
}

/**
 * Clear promised at the price paid and realised, and whether it lost money at their ask. The
 * standing cost is in neither: nobody is paid it.
 * @param {import('./pieces.js').PieceView} view
 * @param {any} answer
 * @returns {Pick<Pair, 'saidClear'|'clear'|'saidLoss'|'lost'>}
 */
function moneyOf({ line, cost }, answer) {
  const ended = line !== null && line.clear !== null;
  /** @type {any[]} */
  const rows = Array.isArray(answer.waterfall) ? answer.waterfall : [];
  const before = rows.filter(({ key }) => !NOT_CLEAR.includes(key))
    .reduce((sum, { amount }) => sum + amount, 0);
  const ask = known(answer.atAsk?.ask);
  const clear = ended ? line.clear : null;
  return {
    saidClear: rows.length && cost !== null ? before - cost : null,
    clear,
    saidLoss: known(answer.atAsk?.lossChance),
    lost: clear === null || ask === null || cost === null ? null : clear - (ask - cost) < 0,
  };
}
