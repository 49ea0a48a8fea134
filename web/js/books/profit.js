// What each piece and the household made, from the postings; all whole numbers.
//
// Clear is what came in less what went out for a piece; profit is clear less one's own time at
// one's wage. Figures for the person's own records, not tax advice.

import { ACCOUNTS, RESULT } from './accounts.js';
import { Facts, addTo, inOrder } from './facts.js';
import { perHour, pieceLines } from './lines.js';
import { driven } from './mileage.js';
import { stintMinutes } from './minutes.js';
import { postings } from './postings.js';
import { countedSales, standingByPiece } from './sales.js';

/** @typedef {import('./lines.js').Line} Line */
/** @typedef {import('./postings.js').Posting} Posting */

/**
 * Sums of a month or year by local day. `earned` is before one's own time.
 * @typedef {object} Period
 * @property {string} period "2026-05" or "2026"
 * @property {number} sold
 * @property {number} brings
 * @property {number} fees
 * @property {number} cost
 * @property {number} expenses
 * @property {number} earned
 * @property {number} cash_in
 * @property {number} cash_out
 * @property {number} minutes of stints
 * @property {number} distance_m driven
 */

/**
 * How far what was earned reaches towards the goal; `ppm` in parts per million.
 * @typedef {{name: string, amount: number, so_far: number, left: number, ppm: number}} Goal
 */

/**
 * The sums of the pieces that are gone (sold or let go), and what else there is. `earned` is
 * from the postings; `elsewhere` is how far it differs from the pieces' clear (tools, supplies
 * not used up yet, what pieces still here have had).
 * @typedef {object} Totals
 * @property {number} sold
 * @property {number} brings
 * @property {number} fees
 * @property {number} cost
 * @property {number} supplies
 * @property {number} other
 * @property {number} clear
 * @property {number} work_minutes
 * @property {number} all_minutes
 * @property {number} own_time
 * @property {number} profit
 * @property {number|null} work_per_hour
 * @property {number|null} all_per_hour
 * @property {number} earned
 * @property {number} elsewhere
 * @property {number} cash
 * @property {number} stock
 * @property {number} unassigned
 * @property {number} buyers
 * @property {number} in_question
 * @property {Goal|null} goal
 */

/** @typedef {{lines: Line[], totals: Totals, months: Period[], years: Period[]}} Ledger */

/**
 * Lines per piece, totals, and sums by month and year, up to an instant.
 * @param {import('./facts.js').Records} household
 * @param {string} asOf
 * @param {string} timeZone
 * @returns {Ledger}
 */
export function ledger(household, asOf, timeZone) {
  const facts = new Facts(household, asOf, timeZone);
  const posted = postings(facts);
  const lines = pieceLines(facts, posted);
  return {
    lines,
    totals: totals(facts, posted, lines),
    months: periods(facts, posted, '2026-05'.length),
    years: periods(facts, posted, '2026'.length),
  };
}

/**
 * The sum of an account's postings.
 * @param {Posting[]} posted
 * @param {string} account
 */
export function balance(posted, account) {
  let sum = 0;
  for (const posting of posted) if (posting.account === account) sum += posting.amount;
  return sum;
}

/**
 * What each piece in stock at the end of a local day stands at, at cost.
 * @param {Posting[]} posted
 * @param {string} day
 * @returns {Map<string, number>}
 */
export function stockOn(posted, day) {
  /** @type {Map<string, number>} */
  const stands = new Map();
  for (const { account, amount, piece, on } of posted) {
    if (account === 'stock' && on <= day) addTo(stands, piece ?? '', amount);
  }
  return new Map([...stands].filter(([, amount]) => amount).sort(([a], [b]) => inOrder(a, b)));
}

/**
 * Everything that came in less everything it cost, before one's own time.
 * @param {Posting[]} posted
 */
export function earned(posted) {
  let sum = 0;
  for (const posting of posted) {
    if (RESULT.includes(ACCOUNTS[posting.account].kind)) sum -= posting.amount;
  }
  return sum;
}

/**
 * The household's sums.
 * @param {Facts} facts
 * @param {Posting[]} posted
 * @param {Line[]} lines
 * @returns {Totals}
 */
export function totals(facts, posted, lines) {
  const sums = {
    brings: 0, fees: 0, cost: 0, supplies: 0, other: 0, clear: 0, work_minutes: 0, all_minutes: 0,
    own_time: 0, profit: 0,
  };
  const names = /** @type {(keyof typeof sums)[]} */ (Object.keys(sums));
  const gone = lines.filter((line) => line.clear !== null);
  for (const line of gone) for (const name of names) sums[name] += line[name] ?? 0;
  const made = earned(posted);
  return {
    ...sums,
    sold: gone.filter((line) => line.status === 'sold').length,
    work_per_hour: perHour(sums.clear, sums.work_minutes),
    all_per_hour: perHour(sums.clear, sums.all_minutes),
    earned: made,
    elsewhere: made - sums.clear,
    cash: balance(posted, 'cash'),
    stock: balance(posted, 'stock'),
    unassigned: balance(posted, 'unassigned'),
    buyers: balance(posted, 'buyers'),
    in_question: balance(posted, 'question_cash'),
    goal: goal(facts.setting(), made),
  };
}

/**
 * How far what was earned reaches towards the goal; null without one.
 * @param {Record<string, any>} setting
 * @param {number} made
 * @returns {Goal|null}
 */
export function goal(setting, made) {
  const amount = setting.goal_amount;
  if (!amount) return null;
  const soFar = Math.min(Math.max(0, made), amount);
  return {
    name: setting.goal_name ?? '',
    amount,
    so_far: soFar,
    left: amount - soFar,
    ppm: Number((BigInt(soFar) * 1_000_000n) / BigInt(amount)),
  };
}

/**
 * Sums by the first `length` characters of the day: 7 for months, 4 for years.
 * @param {Facts} facts
 * @param {Posting[]} posted
 * @param {number} length
 * @returns {Period[]}
 */
export function periods(facts, posted, length) {
  /** @type {Map<string, Period>} */
  const found = new Map();
  const of = (/** @type {string} */ on) => {
    const period = on.slice(0, length);
    const known = found.get(period) ?? emptyPeriod(period);
    found.set(period, known);
    return known;
  };
  for (const posting of posted) addPosting(of(posting.on), posting);
  const counts = countedSales(standingByPiece(facts));
  for (const sale of facts.rows('sale')) of(sale.on).sold += Number(counts.get(sale.id));
  for (const stint of facts.rows('stint')) of(stint.on).minutes += stintMinutes(stint);
  for (const drive of [...facts.rows('outing'), ...facts.rows('delivery')]) {
    of(drive.on).distance_m += driven(drive);
  }
  return [...found.values()].sort((a, b) => inOrder(a.period, b.period));
}

/**
 * @param {string} period
 * @returns {Period}
 */
function emptyPeriod(period) {
  return {
    period, sold: 0, brings: 0, fees: 0, cost: 0, expenses: 0, earned: 0, cash_in: 0, cash_out: 0,
    minutes: 0, distance_m: 0,
  };
}

/** @type {Record<string, 'brings'|'fees'|'cost'>} */
const COLUMN = {
  sales: 'brings', delivery: 'brings', returns: 'brings', fees: 'fees', cost_of_sold: 'cost',
  written_off: 'cost',
};

/**
 * @param {Period} sums
 * @param {Posting} posting
 */
function addPosting(sums, { account, amount }) {
  if (RESULT.includes(ACCOUNTS[account].kind)) {
    const column = COLUMN[account] ?? 'expenses';
    sums[column] += column === 'brings' ? -amount : amount;
    sums.earned -= amount;
  }
  if (account === 'cash') sums[amount > 0 ? 'cash_in' : 'cash_out'] += Math.abs(amount);
}
