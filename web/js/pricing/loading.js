/**
 * Does a piece still go in: boxes in the hold of a car, lengths in mm. Mirrors
 * `pricing/loading.py`. A yes is a packing that was found; a no may be too careful.
 */
import { Problems } from './find.js';

const LONGEST = 20_000;
const MOST_PIECES = 40;
const AXES = [0, 1, 2];

/**
 * @typedef {{at: number[], size: number[]}} Place
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
  return unlike.sort((v, w) => v[0] - w[0] || v[1] - w[1] || v[2] - w[2]);
}

/** @param {number[]} at @param {number[]} size @param {Place[]} placed */
function free(at, size, placed) {
  return placed.every((p) => AXES.some((k) => (
    at[k] + size[k] <= p.at[k] || p.at[k] + p.size[k] <= at[k])));
}

/** @param {Place[]} placed @param {number} k */
function sides(placed, k) {
  return [...new Set([0, ...placed.map((p) => p.at[k] + p.size[k])])].sort((a, b) => a - b);
}

/** @param {Piece} piece @param {Car} car @param {Place[]} placed @returns {Place|null} */
function place(piece, car, placed) {
  const ways = orientations(piece.size, piece.upright)
    .filter((w) => w[1] <= car.opening[0] && w[2] <= car.opening[1]);
  const [xs, ys, zs] = AXES.map((k) => sides(placed, k));
  for (const x of xs) for (const z of zs) for (const y of ys) {
    const at = [x, y, z];
    for (const size of ways) {
      const inside = AXES.every((k) => at[k] + size[k] <= car.hold[k]);
      if (inside && free(at, size, placed)) return { at, size };
    }
  }
  return null;
}

/**
 * A place and a way to lie for every piece, the largest loaded first; null: none found.
 * @param {Piece[]} pieces
 * @param {Car} car
 * @returns {Place[]|null}
 */
export function pack(pieces, car) {
  const volumes = pieces.map((p) => p.size[0] * p.size[1] * p.size[2]);
  const order = pieces.map((_, i) => i).sort((i, j) => volumes[j] - volumes[i] || i - j);
  /** @type {Place[]} */
  const placed = [];
  for (const i of order) {
    const found = place(pieces[i], car, placed);
    if (found === null) return null;
    placed.push(found);
  }
  return pieces.map((_, i) => placed[order.indexOf(i)]);
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

/**
 * Whether all pieces, the new one among them, go in, and where.
 * @param {any[]} pieces `{size: [length, width, height], upright}`
 * @param {any} car `{hold: [length, width, height], opening: [width, height]}`
 */
export function answerLoad(pieces, car) {
  const problems = new Problems();
  const readCar = {
    hold: sizes(car.hold, 'hold', 3, problems),
    opening: sizes(car.opening, 'opening', 2, problems),
  };
  const read = pieces.map((p, i) => (
    { size: sizes(p.size, `pieces.${i}.size`, 3, problems), upright: Boolean(p.upright) }));
  if (read.length > MOST_PIECES) problems.add('pieces', 'too_big', { max: MOST_PIECES });
  if (problems.details.length > 0) return { ok: false, details: problems.details };
  const large = read.findIndex((p) => place(p, readCar, []) === null);
  if (large >= 0) return { ok: true, fits: false, why: `too_large:${large}`, places: [] };
  const places = pack(read, readCar);
  if (places === null) return { ok: true, fits: false, why: 'no_room', places: [] };
  return { ok: true, fits: true, why: null, places };
}
