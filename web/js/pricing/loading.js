/**
 * Does a piece still go in: boxes in the hold of a car, lengths in mm. Mirrors
 * `pricing/loading.py`. A yes is a packing that was found; a no may be too careful. Every piece
 * goes in through the opening and straight forward to its place, and stands on the floor or wholly
 * on what is below it.
 */
import { Problems } from './find.js';

const LONGEST = 20_000;
const MOST_PIECES = 40;
/** Up to so many pieces every order of loading is tried. */
const EVERY_ORDER = 5;
const AXES = [0, 1, 2];

/**
 * @typedef {{at: number[], size: number[]}} Place at [deep, across, up] from the front
 * @typedef {Place & {piece: number}} Loaded
 * @typedef {{size: number[], upright: boolean}} Piece length, width, height
 * @typedef {{hold: number[], opening: number[]}} Car
 */

/**
 * The ways a piece may lie as [length, width, height]; `upright`: its height stays up.
 * @param {number[]} size
 * @param {boolean} upright
 */
export function orientations([a, b, c], upright) {
  const ways = upright ? [[a, b, c], [b, a, c]]
    : [[a, b, c], [a, c, b], [b, a, c], [b, c, a], [c, a, b], [c, b, a]];
  const unlike = ways.filter((w, i) => (
    ways.findIndex((v) => AXES.every((k) => v[k] === w[k])) === i));
  return unlike.sort((v, w) => v[0] - w[0] || v[1] - w[1]);
}

/** @param {Place} a @param {Place} b @param {number} k */
function apart(a, b, k) {
  return a.at[k] + a.size[k] <= b.at[k] || b.at[k] + b.size[k] <= a.at[k];
}

/** Nothing stands in its place or in its way. @param {Place} it @param {Place[]} placed */
function getsThere(it, placed) {
  return placed.every((p) => (
    apart(it, p, 1) || apart(it, p, 2) || p.at[0] + p.size[0] <= it.at[0]));
}

/** On the floor, or wholly on what is below. @param {Place} it @param {Place[]} placed */
function stands({ at, size }, placed) {
  if (at[2] === 0) return true;
  let covered = 0;
  for (const p of placed) {
    if (p.at[2] + p.size[2] !== at[2]) continue;
    const [x, y] = [0, 1].map((k) => (
      Math.min(at[k] + size[k], p.at[k] + p.size[k]) - Math.max(at[k], p.at[k])));
    covered += Math.max(0, x) * Math.max(0, y);
  }
  return covered === size[0] * size[1];
}

/**
 * Where along an axis to try: the sides of what is in, no further than `room`.
 * @param {Place[]} placed @param {number} k @param {number} room
 */
function sides(placed, k, room) {
  const all = new Set([0, ...placed.map((p) => p.at[k] + p.size[k])]);
  return [...all].filter((x) => x <= room).sort((a, b) => a - b);
}

/** @param {number[][]} ways @param {Car} car @param {Place[]} placed @returns {Place|null} */
function place(ways, car, placed) {
  if (ways.length === 0) return null;
  const [xs, ys, zs] = AXES.map((k) => (
    sides(placed, k, car.hold[k] - Math.min(...ways.map((way) => way[k])))));
  for (const x of xs) for (const z of zs) for (const y of ys) {
    for (const size of ways) {
      const it = { at: [x, y, z], size };
      const inside = AXES.every((k) => it.at[k] + size[k] <= car.hold[k]);
      if (inside && stands(it, placed) && getsThere(it, placed)) return it;
    }
  }
  return null;
}

/** The ways in which it passes the opening. @param {Piece} piece @param {Car} car */
function waysOf(piece, car) {
  return orientations(piece.size, piece.upright)
    .filter((w) => w[1] <= car.opening[0] && w[2] <= car.opening[1]);
}

/** @param {number[]} items @returns {Generator<number[]>} in the order of Python's permutations */
function* permutations(items) {
  if (items.length === 0) yield [];
  for (const first of items) {
    for (const rest of permutations(items.filter((x) => x !== first))) yield [first, ...rest];
  }
}

/** Orders of loading to try. @param {Piece[]} pieces @returns {Generator<number[]>} */
function* orders(pieces) {
  const sorted = pieces.map((p) => [...p.size].sort((a, b) => a - b));
  const measures = [
    sorted.map((s) => s[0] * s[1] * s[2]), sorted.map((s) => s[2]),
    sorted.map((s) => s[1] * s[2]), pieces.map((p) => p.size[2]),
  ];
  const indices = pieces.map((_, i) => i);
  for (const m of measures) yield [...indices].sort((i, j) => m[j] - m[i] || i - j);
  if (pieces.length <= EVERY_ORDER) yield* permutations(indices);
  else for (const first of indices) yield [first, ...indices.filter((i) => i !== first)];
}

/**
 * Pieces in the order of loading, each with its place and way to lie; null: none found.
 * @param {Piece[]} pieces
 * @param {Car} car
 * @returns {Loaded[]|null}
 */
export function pack(pieces, car) {
  const ways = pieces.map((piece) => waysOf(piece, car));
  const turned = ways.map((w) => [...w].reverse());
  for (const order of orders(pieces)) {
    for (const tried of [ways, turned]) {
      /** @type {Loaded[]} */
      const loaded = [];
      for (const i of order) {
        const found = place(tried[i], car, loaded);
        if (found === null) break;
        loaded.push({ piece: i, ...found });
      }
      if (loaded.length === pieces.length) return loaded;
    }
  }
  return null;
}

/** @param {any} value @param {string} path @param {number} count @param {Problems} problems */
function sizes(value, path, count, problems) {
  if (!Array.isArray(value) || value.length !== count) {
    problems.add(path, 'required');
    return Array(count).fill(1);
  }
  return value.map((x, k) => {
    const size = problems.whole(x, `${path}.${k}`, [1, LONGEST]);
    if (x === null || x === undefined || x === '') problems.add(`${path}.${k}`, 'required');
    return size ?? 1;
  });
}

/** @param {any} pieces @param {any} car @param {Problems} problems */
function read(pieces, car, problems) {
  const readCar = {
    hold: sizes(car?.hold, 'hold', 3, problems),
    opening: sizes(car?.opening, 'opening', 2, problems),
  };
  if (!Array.isArray(pieces)) {
    problems.add('pieces', 'wrong_type', { expected: 'a list' });
    return { list: [], readCar };
  }
  const list = pieces.map((p, i) => (
    { size: sizes(p?.size, `pieces.${i}.size`, 3, problems), upright: Boolean(p?.upright) }));
  if (list.length > MOST_PIECES) problems.add('pieces', 'too_big', { max: MOST_PIECES });
  return { list, readCar };
}

/** Why it cannot go in whatever is tried. @param {Piece[]} pieces @param {Car} car */
function never(pieces, car) {
  const large = pieces.findIndex((p) => place(waysOf(p, car), car, []) === null);
  if (large >= 0) return `too_large:${large}`;
  const volume = (/** @type {number[]} */ [a, b, c]) => a * b * c;
  const wanted = pieces.reduce((sum, p) => sum + volume(p.size), 0);
  return wanted > volume(car.hold) ? 'too_much' : null;
}

/**
 * Whether all pieces, the new one among them, go in, in which order and where. `why` is
 * `too_large:INDEX`, `too_much`, `no_room` (no packing was found, there may be one) or null.
 * Nothing that can be handed in throws.
 * @param {any} pieces `{size: [length, width, height], upright}` each
 * @param {any} car `{hold: [length, width, height], opening: [width, height]}`
 */
export function answerLoad(pieces, car) {
  const problems = new Problems();
  const { list, readCar } = read(pieces, car, problems);
  if (problems.details.length > 0) return { ok: false, details: problems.details };
  const why = never(list, readCar);
  const loaded = why === null ? pack(list, readCar) : null;
  if (loaded === null) return { ok: true, fits: false, why: why ?? 'no_room', loaded: [] };
  return { ok: true, fits: true, why: null, loaded };
}
