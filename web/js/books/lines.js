// One line of the ledger for every piece that was ever ours.

import { scale } from '../basis/money.js';
import { halfUp } from '../basis/rounding.js';
import { addTo, inOrder } from './facts.js';
import { everything, noTime, spentByPiece } from './minutes.js';
import { endings, standingByPiece } from './sales.js';
import { purchases } from './stock.js';

/** @typedef {import('./facts.js').Facts} Facts */
/** @typedef {import('./facts.js').Row} Row */
/** @typedef {import('./postings.js').Posting} Posting */

/**
 * What a piece brought, cost and took. Money in minor units; `clear` and `profit` are null while
 * the piece is here, and when it is kept; the pay per hour is null where no minute is recorded.
 * @typedef {object} Line
 * @property {string} piece
 * @property {string} title
 * @property {string} kind
 * @property {string} status in_stock, sold, kept or let_go
 * @property {string|null} bought_on
 * @property {string|null} sold_on
 * @property {number} brings price and delivery charged, less returns
 * @property {number} fees
 * @property {number} cost
 * @property {number} supplies
 * @property {number} other other money spent on the piece alone
 * @property {number} work_minutes at the bench
 * @property {number} all_minutes with standing steps, deliveries and a share of the outing
 * @property {number} own_time those minutes that the wage covers, at the wage
 * @property {number|null} clear
 * @property {number|null} profit
 * @property {number|null} work_per_hour clear per hour of work
 * @property {number|null} all_per_hour clear per hour of everything
 */

/** What a piece cost stands on one of these, so their sum is it, wherever the piece is. */
const COST = ['stock', 'cost_of_sold', 'written_off', 'withdrawn'];
const BROUGHT = ['sales', 'delivery', 'returns'];
/** Categories of an expense on a piece that count as its supplies; the rest is `other`. */
const SUPPLIES = ['supplies', 'tools'];

/**
 * A line for each piece, in order of id.
 * @param {Facts} facts
 * @param {Posting[]} posted
 * @returns {Line[]}
 */
export function pieceLines(facts, posted) {
  /** @type {Map<string, Posting[]>} */
  const byPiece = new Map();
  for (const posting of posted) {
    const mine = byPiece.get(posting.piece ?? '');
    if (mine) mine.push(posting);
    else byPiece.set(posting.piece ?? '', [posting]);
  }
  const spent = spentByPiece(facts);
  const supplies = suppliesUsed(facts);
  const other = otherCosts(facts);
  return identities(facts).map((identity) => {
    const { piece, status } = identity;
    const mine = byPiece.get(piece) ?? [];
    const sums = sumsOf(mine, supplies.get(piece) ?? 0, other.get(piece) ?? 0);
    const time = timeOf(facts.setting(), spent.get(piece) ?? noTime());
    return { ...identity, ...sums, ...time, ...results(status, sums, time) };
  });
}

/**
 * What is said of each piece that was ever ours, in order of id.
 * @param {Facts} facts
 */
function identities(facts) {
  const members = facts.members();
  const standing = standingByPiece(facts);
  const ended = endings(facts, standing);
  const ours = whenOurs(facts, members);
  const ids = [...new Set([...ours.keys(), ...standing.keys()])].sort(inOrder);
  return ids.map((piece) => {
    const row = members.get(piece)?.[0];
    const sale = standing.get(piece)?.live;
    const left = ended.get(piece)?.account === 'withdrawn' ? 'kept' : 'let_go';
    const elsewise = ended.has(piece) ? left : 'in_stock';
    return {
      piece,
      title: row?.title ?? '',
      kind: row?.kind ?? '',
      status: sale ? 'sold' : elsewise,
      bought_on: ours.get(piece) ?? null,
      sold_on: sale?.on ?? null,
    };
  });
}

/**
 * The day on which each piece became ours: there at the start, bought, or split off.
 * @param {Facts} facts
 * @param {Map<string, Row[]>} members
 * @returns {Map<string, string>}
 */
function whenOurs(facts, members) {
  const ours = new Map();
  for (const [piece, rows] of members) {
    const opened = rows.find((row) => row.opening_on || row.opening_cost != null);
    if (opened) ours.set(piece, opened.opening_on ?? opened.on);
  }
  for (const one of purchases(facts)) {
    for (const piece of one.shares.keys()) ours.set(piece, one.purchase.on);
  }
  for (const row of facts.splits) ours.set(facts.piece(row.child_id), row.on);
  return ours;
}

/**
 * @param {Posting[]} mine
 * @param {number} supplies
 * @param {number} other
 */
function sumsOf(mine, supplies, other) {
  const sums = { brings: 0, fees: 0, cost: 0, supplies, other };
  for (const { account, amount } of mine) {
    if (BROUGHT.includes(account)) sums.brings -= amount;
    else if (account === 'fees') sums.fees += amount;
    else if (COST.includes(account)) sums.cost += amount;
  }
  return sums;
}

/**
 * Minutes, and what they come to at the wage; the setting says which of them it covers.
 * @param {Record<string, any>} setting
 * @param {import('./minutes.js').Spent} spent
 */
function timeOf(setting, spent) {
  const all = everything(spent);
  const paid = setting.wage_covers === 'everything' ? all : spent.work;
  const own = scale(setting.wage_per_hour ?? 0, paid, 60);
  return { work_minutes: spent.work, all_minutes: all, own_time: own };
}

/**
 * @param {string} status
 * @param {ReturnType<typeof sumsOf>} sums
 * @param {ReturnType<typeof timeOf>} time
 */
function results(status, sums, time) {
  if (status !== 'sold' && status !== 'let_go') {
    return { clear: null, profit: null, work_per_hour: null, all_per_hour: null };
  }
  const clear = sums.brings - sums.fees - sums.cost - sums.supplies - sums.other;
  return {
    clear,
    profit: clear - time.own_time,
    work_per_hour: perHour(clear, time.work_minutes),
    all_per_hour: perHour(clear, time.all_minutes),
  };
}

/**
 * Minor units an hour, halves up; null where no minute was recorded.
 * @param {number} clear
 * @param {number} minutes
 */
export function perHour(clear, minutes) {
  return minutes ? halfUp(clear * 60, minutes) : null;
}

/**
 * What a use of a supply cost: as recorded, else its part of the supply's price, halves up; 0
 * when neither is known.
 * @param {Row} use
 * @param {Row|undefined} supply
 * @returns {number}
 */
export function useCost(use, supply) {
  if (use.cost != null) return use.cost;
  if (!supply?.milliunits || supply.cost == null) return 0;
  return scale(supply.cost, use.milliunits ?? 0, supply.milliunits);
}

/**
 * Supplies of each piece: uses, and expenses for supplies that were bought for it alone.
 * @param {Facts} facts
 */
export function suppliesUsed(facts) {
  const known = new Map(facts.rows('supply').map((row) => [row.id, row]));
  /** @type {[Row, number][]} */
  const uses = facts.rows('supply_use').map((row) => [row, useCost(row, known.get(row.supply_id))]);
  const bought = onAPiece(facts).filter((row) => SUPPLIES.includes(row.category));
  return spreadAll(facts, [...uses, ...bought.map(amountOf)]);
}

/**
 * Other money spent on each piece alone: a hired van, an advertisement.
 * @param {Facts} facts
 */
export function otherCosts(facts) {
  const rows = onAPiece(facts).filter((row) => !SUPPLIES.includes(row.category));
  return spreadAll(facts, rows.map(amountOf));
}

/**
 * Expenses for one piece; one for a supply reaches pieces by its uses, not twice.
 * @param {Facts} facts
 */
function onAPiece(facts) {
  return facts.rows('expense').filter((row) => row.piece_id && !row.supply_id);
}

/**
 * @param {Row} row
 * @returns {[Row, number]}
 */
function amountOf(row) {
  return [row, row.amount];
}

/**
 * @param {Facts} facts
 * @param {[Row, number][]} amounts
 * @returns {Map<string, number>}
 */
function spreadAll(facts, amounts) {
  const found = new Map();
  for (const [row, amount] of amounts) {
    const piece = facts.piece(row.piece_id);
    if (!piece) continue;
    for (const [heir, share] of facts.spread(piece, row.at, amount)) addTo(found, heir, share);
  }
  return found;
}
