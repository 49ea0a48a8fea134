/**
 * Which of several finds to buy within one's cash, minutes and litres: exact up to 25 finds.
 * Mirrors `pricing/choosing.py`: branch and bound with a Lagrangian bound.
 */
import { Problems } from './find.js';

export const LIMITS = ['cash', 'minutes', 'litres'];
export const MOST_FINDS = 25;
const STEPS = 400;
const BUDGET = 200_000;
const LARGEST = 1e9;

/** @typedef {Record<string, number>} Amounts */
/** @typedef {{worth: number[], need: number[][], room: number[]}} Task */

/** @param {number[]} a @param {number[]} b */
function product(a, b) {
  let total = 0;
  for (let i = 0; i < a.length; i += 1) total += a[i] * b[i];
  return total;
}

/** @param {number[]} list */
function sum(list) {
  return list.reduce((a, b) => a + b, 0);
}

/** Prices per share of each limit, by subgradient steps. @param {Task} task */
function pricesOf(task) {
  const total = sum(task.worth);
  let prices = task.room.map(() => total / 2 / task.room.length);
  let best = Infinity;
  let found = prices;
  const shares = task.need.map((x) => x.map((n, k) => (task.room[k] ? n / task.room[k] : 0)));
  for (let t = 0; t < STEPS; t += 1) {
    let slope = prices.map(() => 1);
    let bound = sum(prices);
    task.worth.forEach((worth, i) => {
      const left = worth - product(prices, shares[i]);
      if (left <= 0) return;
      bound += left;
      slope = slope.map((g, k) => g - shares[i][k]);
    });
    if (bound < best) [best, found] = [bound, prices];
    const norm = Math.sqrt(product(slope, slope));
    if (norm === 0) break;
    const size = ((total / 2) * 0.98 ** t) / norm;
    prices = prices.map((p, k) => Math.max(0, p - size * slope[k]));
  }
  return found;
}

/** @param {Task} task @param {number} budget */
function search(task, budget) {
  const prices = pricesOf(task).map((p, k) => (task.room[k] ? p / task.room[k] : 0));
  const reduced = task.worth.map((w, i) => w - product(prices, task.need[i]));
  const order = reduced.map((_, i) => i)
    .sort((i, j) => Math.abs(reduced[j]) - Math.abs(reduced[i]) || i - j);
  const rest = Array(order.length + 1).fill(0);
  for (let at = order.length - 1; at >= 0; at -= 1) {
    rest[at] = rest[at + 1] + Math.max(0, reduced[order[at]]);
  }
  const slack = 1e-9 * sum(task.worth);
  const found = { best: 0, chosen: /** @type {number[]} */ ([]), budget };
  /** @type {number[]} */
  const taken = [];
  /** @param {number} at @param {number} worth @param {number[]} room */
  function walk(at, worth, room) {
    if (worth > found.best) {
      found.best = worth;
      found.chosen = [...taken].sort((a, b) => a - b);
    }
    const bound = worth + product(prices, room) + rest[at];
    if (at === order.length || bound + slack < found.best + 1 || found.budget <= 0) return;
    found.budget -= 1;
    const i = order[at];
    const left = room.map((r, k) => r - task.need[i][k]);
    for (const take of [reduced[i] > 0, reduced[i] <= 0]) {
      if (!take) walk(at + 1, worth, room);
      else if (left.every((x) => x >= 0)) {
        taken.push(i);
        walk(at + 1, worth + task.worth[i], left);
        taken.pop();
      }
    }
  }
  walk(0, 0, task.room);
  return found;
}

/**
 * The choice of most value, and whether nothing better is possible for sure.
 * @param {Amounts[]} finds `{value, cash, minutes, litres}`
 * @param {Amounts} limits
 * @param {number} [budget] nodes to look at
 */
export function choose(finds, limits, budget = BUDGET) {
  const names = LIMITS.filter((k) => k in limits);
  const able = finds.map((_, i) => i)
    .filter((i) => finds[i].value > 0 && names.every((k) => finds[i][k] <= limits[k]));
  if (names.length === 0 || able.length === 0) return { chosen: able, proven: true };
  const scale = 1 + sum(able.map((i) => finds[i].cash));
  const found = search({
    worth: able.map((i) => finds[i].value * scale - finds[i].cash),
    need: able.map((i) => names.map((k) => finds[i][k])),
    room: names.map((k) => limits[k]),
  }, budget);
  return { chosen: found.chosen.map((i) => able[i]), proven: found.budget > 0 };
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

/** @param {any[]} finds @param {any} limits @param {Problems} problems */
function read(finds, limits, problems) {
  /** @type {Amounts} */
  const room = {};
  for (const k of LIMITS) {
    const value = problems.whole(limits[k], `limits.${k}`, [0, LARGEST]);
    if (value !== null) room[k] = value;
  }
  const list = finds.map((find, i) => {
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
 * What to buy of several finds; a limit left out of `limits` does not bind.
 * @param {any[]} finds
 * @param {any} limits
 * @param {number} [budget]
 */
export function answerChoice(finds, limits, budget = BUDGET) {
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
