/**
 * Merging writes of one record, group by group: the larger stamp stands; mirrors
 * records/merge.py. Under "a stamp names one write" it commutes, associates and is idempotent.
 */

import { isQuiet, namesIn } from './groups.js';

/**
 * A record or a change, as the contract has them.
 * @typedef {{type: string, id: string, fields?: Record<string, unknown>,
 *   stamps: Record<string, string>, bases?: Record<string, string | null>, key?: string,
 *   erase?: boolean, erased?: boolean}} Writes
 */

/**
 * @typedef {{type: string, id: string, fields: Record<string, unknown>,
 *   stamps: Record<string, string>, erased?: boolean}} MergedRecord
 */

/** @typedef {{group: string, stamp: string, values: Record<string, unknown>}} Write */
/** @typedef {{record: MergedRecord, winners: Write[], losers: Write[]}} Merged */
/** @typedef {{group: string, kept: Write, other: Write, quiet: boolean}} Conflict */

/** The group under which the stamp of an erasure is kept. */
export const ERASED = '*';

/**
 * Whether a record is erased, or a change erases.
 * @param {Writes} record
 * @returns {boolean}
 */
export function isErased(record) {
  return Boolean(record.erased || record.erase);
}

/**
 * The write of a group that a record or change holds.
 * @param {Writes} record
 * @param {string} group
 * @returns {Write}
 */
export function writeOf(record, group) {
  const fields = record.fields ?? {};
  const names = namesIn(record.type, group).filter((name) => Object.hasOwn(fields, name));
  const values = Object.fromEntries(names.map((name) => [name, fields[name]]));
  return { group, stamp: record.stamps[group], values };
}

/**
 * Every write that a record or change holds, by group; values without a stamp are none.
 * @param {Writes} record
 * @returns {Map<string, Write>}
 */
export function writesOf(record) {
  return new Map(Object.keys(record.stamps).map((group) => [group, writeOf(record, group)]));
}

/**
 * Merges a change, or another copy of the record, into the current record (null: new). Gives
 * the merged record, the incoming writes that stand now, and every write that does not.
 * @param {Writes | null} current
 * @param {Writes} incoming
 * @returns {Merged}
 */
export function merge(current, incoming) {
  if (isErased(incoming) || (current && isErased(current))) return mergeErased(current, incoming);
  const mine = current ? writesOf(current) : new Map();
  const merged = new Map(mine);
  const winners = [];
  const losers = [];
  for (const [group, write] of writesOf(incoming)) {
    const held = mine.get(group);
    const isWinner = !held || write.stamp > held.stamp;
    if (isWinner) {
      merged.set(group, write);
      winners.push(write);
    }
    if (held && write.stamp !== held.stamp) losers.push(isWinner ? held : write);
  }
  return { record: recordOf(incoming, merged), winners, losers };
}

/**
 * @param {Writes} like
 * @param {Map<string, Write>} writes
 * @returns {MergedRecord}
 */
function recordOf(like, writes) {
  const ordered = [...writes.values()].sort((a, b) => (a.group < b.group ? -1 : 1));
  return {
    type: like.type,
    id: like.id,
    fields: Object.assign({}, ...ordered.map((write) => write.values)),
    stamps: Object.fromEntries(ordered.map((write) => [write.group, write.stamp])),
  };
}

/**
 * Nothing is left but the id and the latest stamp of an erasure; no values are handed on.
 * @param {Writes | null} current
 * @param {Writes} incoming
 * @returns {Merged}
 */
function mergeErased(current, incoming) {
  const stamps = [current, incoming].map((r) => (r && isErased(r) ? r.stamps[ERASED] : ''));
  const stamp = stamps[0] > stamps[1] ? stamps[0] : stamps[1];
  const record = {
    type: incoming.type,
    id: incoming.id,
    fields: {},
    stamps: { [ERASED]: stamp },
    erased: true,
  };
  const isNews = current?.stamps[ERASED] !== stamp;
  return { record, winners: isNews ? [{ group: ERASED, stamp, values: {} }] : [], losers: [] };
}

/**
 * The groups that two people wrote without having seen each other's value: the current stamp is
 * neither the change's base nor by the same device, and the values differ.
 * @param {Writes | null} current
 * @param {Writes} change
 * @returns {Conflict[]}
 */
export function conflicts(current, change) {
  if (!current || isErased(current) || isErased(change)) return [];
  const mine = writesOf(current);
  const found = [];
  for (const [group, write] of writesOf(change)) {
    const held = mine.get(group);
    if (!held || !collide(held, write, change.bases?.[group])) continue;
    const [kept, other] = held.stamp > write.stamp ? [held, write] : [write, held];
    found.push({ group, kept, other, quiet: isQuiet(change.type, group) });
  }
  return found;
}

/**
 * @param {Write} held
 * @param {Write} write
 * @param {string | null | undefined} base
 * @returns {boolean}
 */
function collide(held, write, base) {
  if (held.stamp === base || held.stamp === write.stamp) return false;
  if (deviceOf(held.stamp) === deviceOf(write.stamp)) return false;
  return !sameValues(held.values, write.values);
}

/**
 * The device that made a stamp.
 * @param {string} stamp
 * @returns {string}
 */
export function deviceOf(stamp) {
  return stamp.slice(18);
}

/**
 * Whether two writes say the same; a value that is absent is as one that was cleared.
 * @param {Record<string, unknown>} a
 * @param {Record<string, unknown>} b
 * @returns {boolean}
 */
export function sameValues(a, b) {
  const names = new Set([...Object.keys(a), ...Object.keys(b)]);
  return [...names].every((name) => isEqual(a[name] ?? null, b[name] ?? null));
}

/**
 * Equality of plain JSON values, whatever the order of an object's names.
 * @param {unknown} a
 * @param {unknown} b
 * @returns {boolean}
 */
function isEqual(a, b) {
  if (a === b) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || !a || !b) return false;
  if (Array.isArray(a) !== Array.isArray(b)) return false;
  const [x, y] = /** @type {Record<string, unknown>[]} */ ([a, b]);
  const names = Object.keys(x);
  if (names.length !== Object.keys(y).length) return false;
  return names.every((name) => Object.hasOwn(y, name) && isEqual(x[name], y[name]));
}

/**
 * Groups of a deleted record that were written later than the deletion, to be settled.
 * @param {MergedRecord} record
 * @returns {string[]}
 */
export function changedAfterDeleted(record) {
  if (isErased(record) || record.fields.deleted !== true) return [];
  const { stamps } = record;
  return Object.keys(stamps).filter((group) => stamps[group] > stamps.deleted).sort();
}
