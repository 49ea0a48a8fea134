/**
 * Stamps: readings of a hybrid logical clock, written so that text order is time order; mirrors
 * records/stamps.py. The whole state of a clock is its last stamp.
 */

import { CrestrailError } from '../basis/errors.js';

/** @typedef {{ms: number, counter: number, device: string}} Stamp */

export const MAX_MS = 2 ** 48 - 1;
export const MAX_COUNTER = 2 ** 16 - 1;
const STAMP = /^([0-9a-f]{12})-([0-9a-f]{4})-([0-9a-f]{16})$/;

/**
 * Whether it is the text of a stamp.
 * @param {unknown} value
 * @returns {value is string}
 */
export function isStamp(value) {
  return typeof value === 'string' && STAMP.test(value);
}

/**
 * The reading of a stamp's text; CrestrailError when it is none.
 * @param {string} text
 * @returns {Stamp}
 */
export function parseStamp(text) {
  const found = STAMP.exec(text);
  if (!found) throw new CrestrailError('bad_stamp');
  return { ms: parseInt(found[1], 16), counter: parseInt(found[2], 16), device: found[3] };
}

/**
 * `MMMMMMMMMMMM-CCCC-DDDDDDDDDDDDDDDD`: milliseconds, counter, device.
 * @param {Stamp} stamp
 * @returns {string}
 */
export function formatStamp({ ms, counter, device }) {
  return `${ms.toString(16).padStart(12, '0')}-${counter.toString(16).padStart(4, '0')}-${device}`;
}

/**
 * -1, 0 or 1 as `a` is earlier than, the same as, or later than `b`.
 * @param {string} a
 * @param {string} b
 * @returns {number}
 */
export function compareStamps(a, b) {
  return Number(a > b) - Number(a < b);
}

/**
 * The reading, a counter that ran over carried into the milliseconds.
 * @param {number} ms
 * @param {number} counter
 * @param {string} device
 * @returns {string}
 */
function next(ms, counter, device) {
  const carried = counter > MAX_COUNTER ? { ms: ms + 1, counter: 0 } : { ms, counter };
  if (!(carried.ms >= 0 && carried.ms <= MAX_MS)) throw new CrestrailError('bad_stamp');
  return formatStamp({ ...carried, device });
}

/**
 * The state of a clock that never ticked.
 * @param {string} device
 * @returns {string}
 */
export function firstStamp(device) {
  return formatStamp({ ms: 0, counter: 0, device });
}

/**
 * The stamp of a new write, after `last` of the same device, at the physical time.
 * @param {string} last
 * @param {number} nowMs whole milliseconds
 * @returns {string}
 */
export function tick(last, nowMs) {
  const { ms, counter, device } = parseStamp(last);
  return nowMs > ms ? next(nowMs, 0, device) : next(ms, counter + 1, device);
}

/**
 * The clock's state after seeing another device's stamp; later writes come after it.
 * @param {string} last
 * @param {string} seen
 * @param {number} nowMs whole milliseconds
 * @returns {string}
 */
export function receive(last, seen, nowMs) {
  const mine = parseStamp(last);
  const other = parseStamp(seen);
  const top = Math.max(mine.ms, other.ms, nowMs);
  if (top === mine.ms && top === other.ms) {
    return next(top, Math.max(mine.counter, other.counter) + 1, mine.device);
  }
  if (top === mine.ms) return next(top, mine.counter + 1, mine.device);
  return next(top, top === other.ms ? other.counter + 1 : 0, mine.device);
}

/**
 * A new stamp for a write whose clock was wrong: max(corrected time, base + 1). `last` is the
 * device's previous stamp (the outbox is gone through in order, from a state that does not
 * carry the wrong time); `base` the latest stamp of what the person was looking at, or null.
 * @param {string} last
 * @param {string | null} base
 * @param {number} correctedMs
 * @returns {string}
 */
export function restamp(last, base, correctedMs) {
  const mine = parseStamp(last);
  let from = last;
  if (base !== null) {
    const { ms, counter } = parseStamp(base);
    const isAfter = ms > mine.ms || (ms === mine.ms && counter > mine.counter);
    if (isAfter) from = formatStamp({ ms, counter, device: mine.device });
  }
  return tick(from, Math.max(correctedMs, 0));
}

/** A device's hybrid clock. `last` is its whole state, to be kept and handed back. */
export class HybridClock {
  /**
   * @param {string} device
   * @param {string | null} [last]
   */
  constructor(device, last = null) {
    this.device = device;
    this.last = last ? formatStamp({ ...parseStamp(last), device }) : firstStamp(device);
  }

  /**
   * The stamp of a new write.
   * @param {number} nowMs
   * @returns {string}
   */
  tick(nowMs) {
    this.last = tick(this.last, nowMs);
    return this.last;
  }

  /**
   * Moves the clock past a stamp that came from elsewhere.
   * @param {string} seen
   * @param {number} nowMs
   */
  receive(seen, nowMs) {
    this.last = receive(this.last, seen, nowMs);
  }
}
