// Whose time went into which piece: work, and everything else that takes an evening.

import { split } from '../basis/money.js';
import { fromText, toMs } from '../basis/clock.js';
import { purchases } from './stock.js';

/** @typedef {import('./facts.js').Facts} Facts */
/** @typedef {import('./facts.js').Row} Row */

/**
 * Minutes of one piece: `work` at the bench, `around` those of standing steps (photographs,
 * listing, answering, handing over), `driving` deliveries, `finding` its share of the outing.
 * @typedef {{work: number, around: number, driving: number, finding: number}} Spent
 */

const MINUTE_MS = 60_000;

/** @returns {Spent} */
export function noTime() {
  return { work: 0, around: 0, driving: 0, finding: 0 };
}

/**
 * All minutes of a piece.
 * @param {Spent} spent
 */
export function everything(spent) {
  return spent.work + spent.around + spent.driving + spent.finding;
}

/**
 * Whole minutes from one instant to the other, a begun one not counted; 0 if unknown.
 * @param {string|null|undefined} start
 * @param {string|null|undefined} end
 */
export function wholeMinutes(start, end) {
  if (!start || !end) return 0;
  return Math.max(0, Math.floor((toMs(fromText(end)) - toMs(fromText(start))) / MINUTE_MS));
}

/**
 * The minutes of a stint as recorded, else from start to stop; 0 while it runs.
 * @param {Row} stint
 * @returns {number}
 */
export function stintMinutes(stint) {
  return stint.minutes ?? wholeMinutes(stint.started_at, stint.stopped_at);
}

/**
 * The minutes of every piece that any were recorded for.
 * @param {Facts} facts
 * @returns {Map<string, Spent>}
 */
export function spentByPiece(facts) {
  /** @type {Map<string, Spent>} */
  const spent = new Map();
  /** @type {(part: keyof Spent, at: string, pieces: string[], minutes: number) => void} */
  const share = (part, at, pieces, minutes) => {
    if (!pieces.length) return;
    const shares = split(minutes, pieces.map(() => 1));
    pieces.forEach((piece, n) => {
      for (const [heir, amount] of facts.spread(piece, at, shares[n])) {
        const one = spent.get(heir) ?? noTime();
        one[part] += amount;
        spent.set(heir, one);
      }
    });
  };
  shareStints(facts, share);
  shareDrives(facts, share);
  shareOutings(facts, share);
  return spent;
}

/** @typedef {(part: keyof Spent, at: string, pieces: string[], minutes: number) => void} Share */

/**
 * @param {Facts} facts
 * @param {Share} share
 */
function shareStints(facts, share) {
  const steps = facts.rows('step').filter((step) => step.standing);
  const standing = new Set(steps.map((step) => step.slug));
  for (const stint of facts.rows('stint')) {
    const pieces = new Set(stint.piece_ids.map((/** @type {string} */ id) => facts.piece(id)));
    const part = standing.has(stint.step) ? 'around' : 'work';
    share(part, stint.started_at, [...pieces].sort(), stintMinutes(stint));
  }
}

/**
 * @param {Facts} facts
 * @param {Share} share
 */
function shareDrives(facts, share) {
  for (const drive of facts.rows('delivery')) {
    const piece = facts.piece(drive.piece_id);
    share('driving', drive.at, piece ? [piece] : [], drive.minutes ?? 0);
  }
}

/**
 * @param {Facts} facts
 * @param {Share} share
 */
function shareOutings(facts, share) {
  const bought = purchases(facts);
  for (const outing of facts.rows('outing')) {
    const mine = bought.filter((one) => one.purchase.outing_id === outing.id);
    const pieces = mine.flatMap((one) => [...one.shares.keys()]).sort();
    share('finding', outing.at, pieces, wholeMinutes(outing.at, outing.ended_at));
  }
}
