/**
 * Which of several finds to buy within one's cash, minutes and litres: exact up to 25 finds.
 * Mirrors `pricing/choosing.py`: branch and bound with a Lagrangian bound, begun from greedy
 * choices mended by swaps; a find is never taken while one at least as good stays out.
 */
import { Problems } from './find.js';

export const LIMITS = ['cash', 'minutes', 'litres'];
export const MOST_FINDS = 25;
const STEPS = 150;
const SHRINK = 0.95;
/** So many nodes are looked at where a person waits: some 20 ms on a slow phone. */
export const QUICK = 20_000;
const LARGEST = 1e9;

/** @typedef {Record<string, number>} Amounts */
/** @typedef {{worth: number[], need: number[][], room: number[]}} Task */

/** @param {number[]} list */
function sum(list) {
  return list.reduce((a, b) => a + b, 0);
}

/** @param {number} worth @param {number[]} prices @param {number[]} need */
function less(worth, prices, need) {
  let left = worth;
  for (let k = 0; k < prices.length; k += 1) left -= prices[k] * need[k];
  return left;
}

/** Prices per unit of each limit, by subgradient steps. @param {Task} task */
function pricesOf(task) {
  const total = sum(task.worth);
  let prices = task.room.map(() => total / 2 / task.room.length);
  let [best, found, reach] = [Infinity, prices, total / 2];
  const shares = task.need.map((x) => x.map((n, k) => (task.room[k] ? n / task.room[k] : 0)));
  for (let t = 0; t < STEPS; t += 1) {
    const slope = prices.map(() => 1);
    let bound = sum(prices);
    task.worth.forEach((worth, i) => {
      const left = less(worth, prices, shares[i]);
      if (left <= 0) return;
      bound += left;
      for (let k = 0; k < slope.length; k += 1) slope[k] -= shares[i][k];
    });
    if (bound < best) [best, found] = [bound, prices];
    const norm = sum(slope.map((g) => g * g));
    if (norm === 0) break;
    const size = reach / Math.sqrt(norm);
    reach *= SHRINK;
    prices = prices.map((p, k) => Math.max(0, p - size * slope[k]));
  }
  return found.map((p, k) => (task.room[k] ? p / task.room[k] : 0));
}

/** A depth-first search through the finds, the clearest first; sets of finds are bit masks. */
class Search {
  /** @param {Task} task @param {number} budget */
  constructor(task, budget) {
    this.prices = pricesOf(task);
    this.budget = budget;
    const reduced = task.worth.map((w, i) => less(w, this.prices, task.need[i]));
    this.order = reduced.map((_, i) => i)
      .sort((i, j) => Math.abs(reduced[j]) - Math.abs(reduced[i]) || i - j);
    this.worth = this.order.map((i) => task.worth[i]);
    this.need = this.order.map((i) => task.need[i]);
    this.reduced = this.order.map((i) => reduced[i]);
    const n = this.worth.length;
    this.rest = Array(n + 1).fill(0);
    for (let at = n - 1; at >= 0; at -= 1) {
      this.rest[at] = this.rest[at + 1] + Math.max(0, this.reduced[at]);
    }
    this.slack = 1e-9 * sum(task.worth);
    this.rooms = Array.from({ length: n + 1 }, () => [...task.room]);
    this.above = this.worth.map(() => 0);
    this.under = this.worth.map(() => 0);
    this.rank();
    this.best = 0;
    this.chosen = 0;
    for (const by of [this.reduced, this.worth]) {
      const order = by.map((_, i) => i).sort((i, j) => by[j] - by[i] || i - j);
      new Start(this, order, task.room).run();
    }
    this.walk(0, 0, 0, 0);
  }

  /** Which finds are at least as good in everything as each, and as which it is as good. */
  rank() {
    const { worth, need } = this;
    for (let a = 0; a < worth.length; a += 1) {
      for (let b = 0; b < worth.length; b += 1) {
        const same = worth[a] === worth[b] && need[a].every((x, k) => x === need[b][k]);
        const good = worth[a] >= worth[b] && need[a].every((x, k) => x <= need[b][k]);
        if (good && (!same || a < b)) {
          this.above[b] |= 1 << a;
          this.under[a] |= 1 << b;
        }
      }
    }
  }

  /**
   * Everything below one node, unless it cannot be better or the budget is spent. What room is
   * left at it stands in `rooms[at]`.
   * @param {number} at
   * @param {number} worth
   * @param {number} inside
   * @param {number} outside
   */
  walk(at, worth, inside, outside) {
    if (worth > this.best) {
      this.best = worth;
      this.chosen = inside;
    }
    if (at === this.worth.length || this.budget <= 0) return;
    const { prices } = this;
    const room = this.rooms[at];
    let bound = worth + this.rest[at];
    for (let k = 0; k < prices.length; k += 1) bound += prices[k] * room[k];
    if (bound + this.slack < this.best + 1) return;
    this.budget -= 1;
    const first = this.reduced[at] > 0;
    if (first) this.take(at, worth, inside, outside);
    this.skip(at, worth, inside, outside);
    if (!first) this.take(at, worth, inside, outside);
  }

  /** @param {number} at @param {number} worth @param {number} inside @param {number} outside */
  take(at, worth, inside, outside) {
    if (this.above[at] & outside) return;
    const [room, left, need] = [this.rooms[at], this.rooms[at + 1], this.need[at]];
    for (let k = 0; k < need.length; k += 1) {
      left[k] = room[k] - need[k];
      if (left[k] < 0) return;
    }
    this.walk(at + 1, worth + this.worth[at], inside | (1 << at), outside);
  }

  /** @param {number} at @param {number} worth @param {number} inside @param {number} outside */
  skip(at, worth, inside, outside) {
    if (this.under[at] & inside) return;
    const [room, left] = [this.rooms[at], this.rooms[at + 1]];
    for (let k = 0; k < room.length; k += 1) left[k] = room[k];
    this.walk(at + 1, worth, inside, outside | (1 << at));
  }
}

/** A greedy choice in an order, then swaps of one for one while they pay. */
class Start {
  /** @param {Search} search @param {number[]} order @param {number[]} room */
  constructor(search, order, room) {
    this.search = search;
    this.order = order;
    this.left = [...room];
    this.inside = 0;
    this.total = 0;
  }

  run() {
    this.fill();
    while (this.swap()) this.fill();
    if (this.total > this.search.best) {
      this.search.best = this.total;
      this.search.chosen = this.inside;
    }
  }

  /** @param {number} i */
  has(i) {
    return ((this.inside >> i) & 1) === 1;
  }

  /** @param {number} i @param {number} out to make room; -1: none */
  fits(i, out) {
    const { need } = this.search;
    return this.left.every((x, k) => need[i][k] - (out >= 0 ? need[out][k] : 0) <= x);
  }

  /** @param {number} i @param {1 | -1} way */
  put(i, way) {
    this.left = this.left.map((x, k) => x - way * this.search.need[i][k]);
    this.inside ^= 1 << i;
    this.total += way * this.search.worth[i];
  }

  fill() {
    for (const i of this.order) if (!this.has(i) && this.fits(i, -1)) this.put(i, 1);
  }

  /** @returns {boolean} whether a swap was found */
  swap() {
    const { worth } = this.search;
    for (let out = 0; out < worth.length; out += 1) {
      if (!this.has(out)) continue;
      for (let i = 0; i < worth.length; i += 1) {
        if (!this.has(i) && worth[i] > worth[out] && this.fits(i, out)) {
          this.put(out, -1);
          this.put(i, 1);
          return true;
        }
      }
    }
    return false;
  }
}

/**
 * The choice of most value, and whether nothing better is possible for sure.
 * @param {Amounts[]} finds `{value, cash, minutes, litres}`
 * @param {Amounts} limits
 * @param {number} [budget] nodes to look at
 */
export function choose(finds, limits, budget = QUICK) {
  const names = LIMITS.filter((k) => k in limits);
  const able = finds.map((_, i) => i)
    .filter((i) => finds[i].value > 0 && names.every((k) => finds[i][k] <= limits[k]));
  if (names.length === 0 || able.length === 0) return { chosen: able, proven: true };
  const scale = 1 + sum(able.map((i) => finds[i].cash));
  const search = new Search({
    worth: able.map((i) => finds[i].value * scale - finds[i].cash),
    need: able.map((i) => names.map((k) => finds[i][k])),
    room: names.map((k) => limits[k]),
  }, budget);
  const chosen = search.order.filter((_, at) => (search.chosen >> at) & 1).map((i) => able[i]);
  return { chosen: chosen.sort((i, j) => i - j), proven: search.budget > 0 };
}

/**
 * Why a find is left out: `not_worth`, `alone:LIMIT` where it does not fit even alone, else
 * `LIMIT` for each one that the chosen finds leave too little of.
 * @param {Amounts} find
 * @param {Amounts} limits
 * @param {Amounts} left
 */
export function whyLeft(find, limits, left) {
  if (find.value <= 0) return ['not_worth'];
  const names = LIMITS.filter((k) => k in limits);
  const alone = names.filter((k) => find[k] > limits[k]).map((k) => `alone:${k}`);
  return alone.length > 0 ? alone : names.filter((k) => find[k] > left[k]);
}

/** @param {any} value */
function absent(value) {
  return value === null || value === undefined || value === '';
}

/** @param {any} finds @param {any} limits @param {Problems} problems */
function read(finds, limits, problems) {
  /** @type {Amounts} */
  const room = {};
  for (const k of LIMITS) {
    const value = problems.whole(limits?.[k], `limits.${k}`, [0, LARGEST]);
    if (value !== null) room[k] = value;
  }
  if (!Array.isArray(finds)) {
    problems.add('finds', 'wrong_type', { expected: 'a list' });
    return { list: [], room };
  }
  const list = finds.map((given, i) => {
    const find = given !== null && typeof given === 'object' ? given : {};
    /** @type {Amounts} */
    const one = {};
    for (const k of ['value', ...LIMITS]) {
      const limit = /** @type {[number, number]} */ ([k === 'value' ? -LARGEST : 0, LARGEST]);
      const value = problems.whole(find[k], `finds.${i}.${k}`, limit);
      if (absent(find[k]) && (k === 'value' || k in room)) {
        problems.add(`finds.${i}.${k}`, 'required');
      }
      one[k] = value ?? 0;
    }
    return one;
  });
  if (list.length > MOST_FINDS) problems.add('finds', 'too_big', { max: MOST_FINDS });
  const good = list.filter((f) => f.value > 0);
  if (sum(good.map((f) => f.value)) * (1 + sum(good.map((f) => f.cash))) >= 2 ** 53) {
    problems.add('finds', 'too_big', { max: LARGEST });
  }
  return { list, room };
}

/**
 * What to buy of several finds; a limit left out of `limits` does not bind. Nothing that can be
 * handed in throws.
 * @param {any} finds `{value, cash, minutes, litres}` each
 * @param {any} limits
 * @param {number} [budget]
 */
export function answerChoice(finds, limits, budget = QUICK) {
  const problems = new Problems();
  const { list, room } = read(finds, limits, problems);
  if (problems.details.length > 0) return { ok: false, details: problems.details };
  const { chosen, proven } = choose(list, room, budget);
  const total = (/** @type {string} */ k) => sum(chosen.map((i) => list[i][k]));
  const used = Object.fromEntries(LIMITS.map((k) => [k, total(k)]));
  const left = Object.fromEntries(Object.keys(room).map((k) => [k, room[k] - used[k]]));
  const out = list.map((f, i) => ({ find: i, why: whyLeft(f, room, left) }))
    .filter(({ find }) => !chosen.includes(find));
  return { ok: true, chosen, value: total('value'), used, left, out, proven };
}
