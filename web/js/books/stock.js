// What each piece cost. One price paid for several pieces is shared by weight, costs of buying
// folded in first, to the cent (largest remainder, ties to the smaller id).

import { split } from '../basis/money.js';
import { inOrder } from './facts.js';

/** @typedef {import('./facts.js').Facts} Facts */
/** @typedef {import('./facts.js').Row} Row */

/**
 * The price with the costs of buying (fuel, hire) folded in.
 * @param {Row} purchase
 * @returns {number}
 */
export function wholeCost(purchase) {
  return purchase.total + (purchase.extra_costs ?? 0);
}

/**
 * What each of the pieces cost; the shares add up to the cent. Weights are the pieces'
 * `share_weight`; when one of them lacks it the shares are equal.
 * @param {Row} purchase
 * @param {readonly Row[]} pieces at least one
 * @returns {Map<string, number>}
 */
export function purchaseShares(purchase, pieces) {
  const ordered = [...pieces].sort((a, b) => inOrder(a.id, b.id));
  const known = ordered.every((piece) => piece.share_weight != null);
  const weights = ordered.map((piece) => (known ? piece.share_weight : 1));
  const shares = split(wholeCost(purchase), weights);
  return new Map(ordered.map((piece, n) => [piece.id, shares[n]]));
}

/**
 * A piece's share of a purchase; `siblings` are all pieces of it, the piece among them.
 * @param {Row} piece
 * @param {Row} purchase
 * @param {readonly Row[]} siblings
 * @returns {number}
 */
export function pieceCost(piece, purchase, siblings) {
  return purchaseShares(purchase, siblings).get(piece.id) ?? 0;
}

/**
 * A purchase as the books read it: what each piece cost, or that it waits in question.
 * @typedef {{purchase: Row, shares: Map<string, number>, in_question: boolean}} Bought
 */

/**
 * Every purchase with its shares. A piece recorded twice was paid once: its earlier purchase
 * counts, and a later one that no other piece points to waits in question. A piece that came out
 * of another has no purchase.
 * @param {Facts} facts
 * @returns {Bought[]}
 */
export function purchases(facts) {
  const order = new Map(facts.rows('purchase').map((row, n) => [row.id, n]));
  /** @type {Map<string, Row[]>} */
  const claims = new Map();
  const lost = new Set();
  const children = facts.children();
  for (const [piece, rows] of facts.members()) {
    if (children.has(piece)) continue;
    const ids = new Set(rows.map((row) => row.purchase_id).filter((id) => order.has(id)));
    if (!ids.size) continue;
    const place = (/** @type {string} */ id) => order.get(id) ?? 0;
    const first = [...ids].reduce((a, b) => (place(a) <= place(b) ? a : b));
    const row = rows.find((one) => one.purchase_id === first);
    const claim = { id: piece, share_weight: row?.share_weight };
    claims.set(first, [...(claims.get(first) ?? []), claim]);
    for (const id of ids) if (id !== first) lost.add(id);
  }
  return facts.rows('purchase').map((purchase) => {
    const pieces = claims.get(purchase.id);
    const shares = pieces ? purchaseShares(purchase, pieces) : new Map();
    return { purchase, shares, in_question: !pieces && lost.has(purchase.id) };
  });
}
