// Every fact as balanced postings, replayed in the order in which things happened.
//
// Stock is kept at cost, piece by piece. What a piece cost leaves stock once, to where the piece
// went. Cost that becomes known after the piece is gone follows it at once. What was recorded
// twice is posted to the accounts in question and touches neither cash nor result. Supplies have
// one home: the expense that bought them; their use on a piece is never posted.

import { split } from '../basis/money.js';
import { expenseAccount } from './accounts.js';
import { inOrder } from './facts.js';
import { countedSales, endings, paidTowards, standingByPiece } from './sales.js';
import { purchases, wholeCost } from './stock.js';

/** @typedef {import('./facts.js').Facts} Facts */
/** @typedef {import('./facts.js').Row} Row */

/**
 * An amount in minor units on an account (debit positive), on a day, from a fact.
 * @typedef {object} Posting
 * @property {string} on
 * @property {string} account
 * @property {number} amount
 * @property {string|null} piece
 * @property {string} fact_type
 * @property {string} fact_id
 */

/** @typedef {[string, number, string|null]} Leg account, amount, piece */
/**
 * A fact to post.
 * @typedef {object} Found
 * @property {string} at
 * @property {string} on
 * @property {string} type
 * @property {Record<string, any>} row
 * @property {() => Leg[]} legs
 */

/**
 * All postings up to the moment of the facts, in order of time.
 * @param {Facts} facts
 * @returns {Posting[]}
 */
export function postings(facts) {
  const events = new Replay(facts).events();
  events.sort(
    (a, b) => inOrder(a.at, b.at) || a.rank - b.rank || inOrder(a.row.id, b.row.id),
  );
  return events.flatMap((event) => event.legs().filter(([, amount]) => amount !== 0).map(
    ([account, amount, piece]) => ({
      on: event.on, account, amount, piece, fact_type: event.type, fact_id: event.row.id,
    }),
  ));
}

/** What is where while the facts are gone through in order of time. */
class Replay {
  /** @param {Facts} facts */
  constructor(facts) {
    this.facts = facts;
    this.standing = standingByPiece(facts);
    this.counts = countedSales(this.standing);
    this.paid = paidTowards(facts, this.counts);
    this.bought = purchases(facts);
    /** @type {Map<string, number>} */
    this.stock = new Map();
    /** @type {Map<string, {account: string, why: string}>} */
    this.gone = new Map();
    /** @type {Map<string, number>} */
    this.costOfSale = new Map();
    /** @type {Map<string, Row>} */
    this.sales = new Map(facts.rows('sale').map((sale) => [sale.id, sale]));
  }

  /**
   * Every fact that moves money or stock; `rank` orders what happened in the same moment.
   * @returns {(Found & {rank: number})[]}
   */
  events() {
    const ranked = [
      this.opening(), this.cashMoves(), this.expenses(), this.openingStock(),
      this.of('purchase', this.bought.map((one) => one.purchase), (_, n) => this.buy(n)),
      this.of('split', this.facts.splits, (row) => this.divide(row)),
      this.payments(),
      this.of('sale', this.facts.rows('sale'), (row) => this.sell(row)),
      this.of('return', this.facts.rows('return'), (row) => this.takeBack(row)),
      this.endings(),
    ];
    return ranked.flatMap((found, rank) => found.map((event) => ({ ...event, rank })));
  }

  /**
   * @param {string} type
   * @param {Row[]} rows
   * @param {(row: Row, n: number) => Leg[]} legs
   * @returns {Found[]}
   */
  of(type, rows, legs) {
    return rows.map((row, n) => ({ at: row.at, on: row.on, type, row, legs: () => legs(row, n) }));
  }

  /** @returns {Found[]} */
  opening() {
    const row = this.facts.setting();
    const amount = row.cash_start ?? 0;
    const on = row.opened_on ?? '1970-01-01';
    if (!amount || on > this.facts.today) return [];
    const legs = () => pair('cash', 'owner', amount, null);
    return [{ at: midnight(on), on, type: 'setting', row, legs }];
  }

  cashMoves() {
    const rows = this.facts.rows('cash_move');
    return this.of('cash_move', rows, (row) => pair('cash', 'owner', row.amount, null));
  }

  expenses() {
    return this.of('expense', this.facts.rows('expense'), (row) => {
      const piece = this.facts.piece(row.piece_id);
      return [[expenseAccount(row.category), row.amount, piece], ['cash', -row.amount, null]];
    });
  }

  openingStock() {
    const elsewhere = this.facts.children();
    for (const one of this.bought) for (const piece of one.shares.keys()) elsewhere.add(piece);
    /** @type {Found[]} */
    const found = [];
    for (const [piece, rows] of this.facts.members()) {
      const row = rows.find((one) => one.opening_cost);
      if (!row || elsewhere.has(piece)) continue;
      const on = row.opening_on ?? row.on;
      if (on > this.facts.today) continue;
      const legs = () => this.intoStock(piece, row.opening_cost, 'owner');
      found.push({ at: midnight(on), on, type: 'piece', row, legs });
    }
    return found;
  }

  payments() {
    return this.of('payment', this.facts.rows('payment'), (row) => [
      ['cash', row.amount, null], ['buyers', -row.amount, this.facts.piece(row.piece_id)],
    ]);
  }

  /** @returns {Found[]} */
  endings() {
    return [...endings(this.facts, this.standing)].map(([piece, end]) => ({
      at: end.at,
      on: this.facts.day(end.at),
      type: 'piece',
      row: end.record,
      legs: () => this.leave(piece, end.account, end.record.id),
    }));
  }

  /**
   * @param {string} piece
   * @param {number} amount
   * @param {string} against
   * @returns {Leg[]}
   */
  intoStock(piece, amount, against) {
    this.stock.set(piece, (this.stock.get(piece) ?? 0) + amount);
    const gone = this.gone.get(piece);
    const onwards = gone ? this.leave(piece, gone.account, gone.why) : [];
    return [['stock', amount, piece], [against, -amount, null], ...onwards];
  }

  /**
   * @param {string} piece
   * @param {string} account
   * @param {string} why
   * @returns {Leg[]}
   */
  leave(piece, account, why) {
    const amount = this.stock.get(piece) ?? 0;
    this.stock.delete(piece);
    this.gone.set(piece, { account, why });
    if (account === 'cost_of_sold') {
      this.costOfSale.set(why, (this.costOfSale.get(why) ?? 0) + amount);
    }
    return pair(account, 'stock', amount, piece);
  }

  /**
   * @param {number} n
   * @returns {Leg[]}
   */
  buy(n) {
    const { purchase, shares, in_question: asked } = this.bought[n];
    const cost = wholeCost(purchase);
    if (asked) return pair('question', 'question_cash', cost, null);
    if (!shares.size) return pair('unassigned', 'cash', cost, null);
    return [...shares].flatMap(([piece, share]) => this.intoStock(piece, share, 'cash'));
  }

  /**
   * @param {Row} row
   * @returns {Leg[]}
   */
  divide(row) {
    const parent = this.facts.piece(row.parent_id) ?? '';
    const child = this.facts.piece(row.child_id) ?? '';
    const [share, rest] = split(this.stock.get(parent) ?? 0, [row.child_weight, row.parent_weight]);
    this.stock.set(parent, rest);
    return this.intoStock(child, share, 'stock').map(([a, n, piece]) => [a, n, piece ?? parent]);
  }

  /**
   * @param {Row} sale
   * @returns {Leg[]}
   */
  sell(sale) {
    const piece = this.facts.piece(sale.piece_id) ?? '';
    const brought = sale.delivery_charged ?? 0;
    const whole = sale.price + brought;
    const fee = sale.fee ?? 0;
    if (!this.counts.get(sale.id)) return pair('question_cash', 'question', whole - fee, piece);
    const due = Math.max(0, whole - (this.paid.get(sale.id) ?? 0));
    return [
      ['buyers', whole, piece], ['sales', -sale.price, piece], ['delivery', -brought, piece],
      ['cash', due, null], ['buyers', -due, piece],
      ['fees', fee, piece], ['cash', -fee, null],
      ...this.leave(piece, 'cost_of_sold', sale.id),
    ];
  }

  /**
   * @param {Row} back
   * @returns {Leg[]}
   */
  takeBack(back) {
    const piece = this.facts.piece(this.sales.get(back.sale_id)?.piece_id);
    const { sale_id: sale, refund } = back;
    const fee = back.fee_back ?? 0;
    if (this.counts.get(sale) === false) {
      return pair('question', 'question_cash', refund - fee, piece);
    }
    /** @type {Leg[]} */
    const legs = [
      ['returns', refund, piece], ['cash', -refund, null],
      ['cash', fee, null], ['fees', -fee, piece],
    ];
    if (!back.back_in_stock || !piece || this.gone.get(piece)?.why !== sale) return legs;
    this.gone.delete(piece);
    const cost = this.costOfSale.get(sale) ?? 0;
    this.costOfSale.delete(sale);
    this.stock.set(piece, (this.stock.get(piece) ?? 0) + cost);
    return [...legs, ...pair('stock', 'cost_of_sold', cost, piece)];
  }
}

/** @param {string} day */
function midnight(day) {
  return `${day}T00:00:00.000Z`;
}

/**
 * @param {string} to
 * @param {string} from
 * @param {number} amount
 * @param {string|null} piece
 * @returns {Leg[]}
 */
function pair(to, from, amount, piece) {
  return [[to, amount, piece], [from, -amount, piece]];
}
