/**
 * The best falling price: one step after the other is bettered until none helps. Mirrors
 * `pricing/dropping.py`, which says how.
 */
import { begun, evaluate, net, sharesAt, weights } from './asking.js';
import { unsold } from './selling.js';

/** The 80% point of the standard normal distribution: no plan asks more than that price. */
const Z80 = 0.8416212335729143;
/** Log distances from the likely price at which a price is tried. */
export const OFFSETS = Array.from({ length: 91 }, (_, i) => (i * 2 - 80) / 100);
/** A plan counts as better from this share of the likely price on. */
const BETTER = 1e-9;
const WEEK = 7;
/** How far a step is moved at once, in logs, until only wider moves could help. */
const NEAR = 0.041;
/** Into how many steps each step of a plan is cut, to see what fewer steps give up. */
const FINER = 3;

/**
 * @typedef {import('./asking.js').Market} Market
 * @typedef {import('./asking.js').Plan} Plan
 *
 * @typedef {object} Head the steps before the one in question
 * @property {number} value of those steps
 * @property {Float64Array} exposure since it was listed, for every node of the piece's worth
 * @property {Float64Array} left the chance to stand, for every node
 */

/** What does not change while plans of one market are compared. */
export class Board {
  /** @param {Market} market */
  constructor(market) {
    this.market = market;
    this.allowed = allowed(market);
    this.least = BETTER * Math.exp(market.resale.mu);
    const start = begun(market);
    this.weights = Float64Array.from(weights(market, start));
    /** @type {Head} */
    this.start = {
      value: 0,
      exposure: Float64Array.from(start),
      left: Float64Array.from(start, (e) => unsold(market.rate, e)),
    };
    /** @type {Map<number, {row: Float64Array, net: number}>} */
    this.known = new Map();
  }

  /**
   * The shares of buyers who take the piece at an offset, and what a sale leaves.
   * @param {number} offset
   */
  at(offset) {
    let found = this.known.get(offset);
    if (found === undefined) {
      found = {
        row: Float64Array.from(sharesAt(this.market, offset)),
        net: net(this.market, Math.exp(this.market.resale.mu + offset)),
      };
      this.known.set(offset, found);
    }
    return found;
  }

  /**
   * The head one step further.
   * @param {Head} head
   * @param {number} offset
   * @param {number} days
   * @returns {Head}
   */
  after(head, offset, days) {
    const { rate, hold } = this.market;
    const { row, net: price } = this.at(offset);
    const exposure = new Float64Array(row.length);
    const left = new Float64Array(row.length);
    let { value } = head;
    for (let j = 0; j < row.length; j += 1) {
      const e = head.exposure[j];
      const before = head.left[j];
      const now = e + row[j] * days;
      const then = unsold(rate, now);
      const stood = dwelt(rate.a, before, then, (row[j] * days) / (rate.b + e)) * days;
      value += this.weights[j] * (price * (before - then) - hold * stood);
      exposure[j] = now;
      left[j] = then;
    }
    return { value, exposure, left };
  }

  /**
   * The value of a head followed by these steps.
   * @param {Head} head
   * @param {number[]} offsets
   * @param {number[]} steps
   */
  worth(head, offsets, steps) {
    const { rate, hold, salvage } = this.market;
    const { a, b } = rate;
    const ladder = offsets.map((offset) => this.at(offset));
    const many = ladder.length;
    let { value } = head;
    for (let j = 0; j < this.weights.length; j += 1) {
      let e = head.exposure[j];
      let before = head.left[j];
      let got = 0;
      for (let i = 0; i < many; i += 1) {
        const days = steps[i];
        const gained = ladder[i].row[j] * days;
        const then = Math.exp(-a * Math.log1p((e + gained) / b));
        const stood = dwelt(a, before, then, gained / (b + e)) * days;
        got += ladder[i].net * (before - then) - hold * stood;
        e += gained;
        before = then;
      }
      value += this.weights[j] * (got + salvage * before);
    }
    return value;
  }
}

/**
 * The expected share of a step's days that the piece stands, from the chances to stand at its
 * start and its end. `r` is the step's exposure per (b + exposure so far). As `dwell`, with the
 * powers that are known already; a short series where they would cancel.
 * @param {number} a
 * @param {number} before
 * @param {number} then
 * @param {number} r
 */
function dwelt(a, before, then, r) {
  if (a * r < 1e-3) {
    const small = 1 - (((a + 2) * r) / 4) * (1 - ((a + 3) * r) / 5);
    return before * (1 - ((a * r) / 2) * (1 - (((a + 1) * r) / 3) * small));
  }
  return (before - (1 + r) * then) / ((a - 1) * r);
}

/** The offsets that may be asked. @param {Market} market */
export function allowed(market) {
  return OFFSETS.filter((o) => o <= Z80 * market.resale.s + 1e-12);
}

/** @param {Board} board @param {number} horizon */
function constant(board, horizon) {
  let best = OFFSETS[0];
  let most = -Infinity;
  for (const offset of board.allowed) {
    const value = board.worth(board.start, [offset], [horizon]);
    if (value > most + board.least) {
      best = offset;
      most = value;
    }
  }
  return best;
}

/**
 * The best single price for the whole horizon (days); of equals the lowest.
 * @param {Board} board
 * @param {number} horizon
 */
export function bestConstant(board, horizon) {
  return evaluate(board.market, [constant(board, horizon)], [horizon]);
}

/**
 * The best offset of one step within those of its neighbours and within `reach` of what it is,
 * the others staying.
 * @param {Board} board
 * @param {Head} head
 * @param {number} at
 * @param {{offsets: number[], steps: number[], reach: number}} plan
 */
function bettered(board, head, at, { offsets, steps, reach }) {
  const now = offsets[at];
  const top = Math.min(now + reach, at > 0 ? offsets[at - 1] : Infinity);
  const bottom = Math.max(now - reach, at + 1 < offsets.length ? offsets[at + 1] : -Infinity);
  const tail = offsets.slice(at);
  const days = steps.slice(at);
  let best = now;
  let most = board.worth(head, tail, days);
  for (const offset of board.allowed) {
    if (bottom > offset || offset > top || offset === now) continue;
    tail[0] = offset;
    const value = board.worth(head, tail, days);
    if (value > most + board.least) {
      best = offset;
      most = value;
    }
  }
  return best;
}

/**
 * One step after the other bettered once; whether any moved.
 * @param {Board} board
 * @param {{offsets: number[], steps: number[], reach: number}} plan its offsets are changed
 */
function sweep(board, plan) {
  let moved = false;
  let head = board.start;
  for (let at = 0; at < plan.offsets.length; at += 1) {
    const best = bettered(board, head, at, plan);
    moved ||= best !== plan.offsets[at];
    plan.offsets[at] = best;
    head = board.after(head, best, plan.steps[at]);
  }
  return moved;
}

/** @param {Board} board @param {number[]} start @param {number[]} steps */
function climbed(board, start, steps) {
  const offsets = [...start];
  while (sweep(board, { offsets, steps, reach: Infinity })) {
    while (sweep(board, { offsets, steps, reach: NEAR }));
  }
  return offsets;
}

/**
 * The plan reached from `start` by bettering one step after the other until none helps.
 * @param {Board} board
 * @param {number[]} start
 * @param {number[]} steps
 */
export function climb(board, start, steps) {
  return evaluate(board.market, climbed(board, start, steps), steps);
}

/**
 * The best never rising plan of these steps (days) found from the best constant price.
 * @param {Board} board
 * @param {number[]} steps
 */
export function bestPlan(board, steps) {
  const offset = constant(board, total(steps));
  return climb(board, steps.map(() => offset), steps);
}

/**
 * What it costs to list a week later with the last day unchanged: value lost and standing.
 * @param {Board} board
 * @param {Plan} plan
 */
export function weekCosts(board, plan) {
  const { market } = board;
  const horizon = total(plan.steps);
  if (horizon <= WEEK) return plan.value - (market.salvage - market.hold * horizon);
  const shorter = plan.steps.map((days) => ((horizon - WEEK) / horizon) * days);
  const later = climb(board, plan.offsets, shorter);
  return plan.value - later.value + market.hold * WEEK;
}

/**
 * The best plan of three times the steps, found from this one.
 * @param {Board} board
 * @param {Plan} plan
 */
export function finer(board, plan) {
  const each = (/** @type {number[]} */ list) => list.flatMap((x) => Array(FINER).fill(x));
  return climb(board, each(plan.offsets), each(plan.steps.map((d) => d / FINER)));
}

/** @param {number[]} list */
function total(list) {
  let sum = 0;
  for (const x of list) sum += x;
  return sum;
}
