// Which sales count, and what was paid towards each.

import { saleStanding } from '../records/stages.js';
import { addTo } from './facts.js';

/** @typedef {import('./facts.js').Facts} Facts */
/** @typedef {import('./facts.js').Row} Row */
/** @typedef {{live: Row|null, inQuestion: Row[], returned: Row[]}} Standing */

/**
 * For each piece with sales, which of them counts, which wait, which came back.
 * @param {Facts} facts
 * @returns {Map<string, Standing>}
 */
export function standingByPiece(facts) {
  /** @type {Map<string, Row[]>} */
  const sales = new Map();
  for (const sale of facts.rows('sale')) {
    const piece = facts.piece(sale.piece_id) ?? '';
    sales.set(piece, [...(sales.get(piece) ?? []), sale]);
  }
  const returns = facts.rows('return');
  /** @type {(rows: Row[]) => Standing} */
  const standing = (rows) => /** @type {Standing} */ (saleStanding(rows, returns));
  return new Map([...sales].map(([piece, rows]) => [piece, standing(rows)]));
}

/**
 * For each sale whether it counts; false: it waits in question.
 * @param {Map<string, Standing>} standing
 * @returns {Map<string, boolean>}
 */
export function countedSales(standing) {
  const counts = new Map();
  for (const one of standing.values()) {
    if (one.live) counts.set(one.live.id, true);
    for (const sale of one.returned) counts.set(sale.id, true);
    for (const sale of one.inQuestion) counts.set(sale.id, false);
  }
  return counts;
}

/**
 * A piece that left without a sale: when, to which account, by which record.
 * @typedef {{at: string, account: string, record: Row}} End
 */

/**
 * Kept and let go, by piece; a piece that is sold as well counts as sold.
 * @param {Facts} facts
 * @param {Map<string, Standing>} standing
 * @returns {Map<string, End>}
 */
export function endings(facts, standing) {
  const found = new Map();
  for (const [piece, rows] of facts.members()) {
    if (standing.get(piece)?.live) continue;
    const end = earliest(rows, 'kept_at', 'withdrawn', facts.asOf)
      ?? earliest(rows, 'let_go_at', 'written_off', facts.asOf);
    if (end) found.set(piece, end);
  }
  return found;
}

/**
 * @param {Row[]} rows
 * @param {string} field
 * @param {string} account
 * @param {string} asOf
 * @returns {End|null}
 */
function earliest(rows, field, account, asOf) {
  let best = null;
  for (const record of rows) {
    const at = record[field];
    if (at && at <= asOf && (!best || at < best.at)) best = { at, account, record };
  }
  return best;
}

/**
 * For each sale the payments (deposits, rest paid later) that were recorded apart.
 * @param {Facts} facts
 * @param {Map<string, boolean>} counts
 * @returns {Map<string, number>}
 */
export function paidTowards(facts, counts) {
  /** @type {Map<string|null, Row[]>} */
  const mine = new Map();
  for (const sale of facts.rows('sale').filter((row) => counts.get(row.id))) {
    const piece = facts.piece(sale.piece_id);
    mine.set(piece, [...(mine.get(piece) ?? []), sale]);
  }
  const paid = new Map();
  for (const payment of facts.rows('payment')) {
    const sale = saleOfPayment(payment, mine.get(facts.piece(payment.piece_id)) ?? []);
    if (sale) addTo(paid, sale, payment.amount);
  }
  return paid;
}

/**
 * The sale that a payment belongs to: the one it names, else the next one, else the last; null
 * while there is no such sale: money paid ahead.
 * @param {Row} payment
 * @param {readonly Row[]} sales those of its piece that count, in order of time
 * @returns {string|null}
 */
export function saleOfPayment(payment, sales) {
  if (payment.sale_id) return payment.sale_id;
  const chosen = sales.find((sale) => sale.at >= payment.at) ?? sales.at(-1);
  return chosen?.id ?? null;
}
