import { CrestrailError } from '../basis/errors.js';
import { groupOf, namesIn } from '../records/groups.js';
import { ERASED, sameValues } from '../records/merge.js';
import { checkFields } from '../records/values.js';

/** @typedef {import('./types.js').Row} Row */
/** @typedef {import('./types.js').Fields} Fields */
/** @typedef {import('./types.js').Change} Change */
/** @typedef {import('./types.js').OutboxEntry} OutboxEntry */

/**
 * Per group the stamp of the value that the person was looking at, null where there was none.
 * A group left out: the person saw what the phone holds.
 * @typedef {Record<string, string|null>} Seen
 */
/**
 * What a person did to one record, ready to be written.
 * @typedef {object} Intent
 * @property {string} type
 * @property {string} id
 * @property {Fields} fields the values given, as far as they differ from what was seen
 * @property {Record<string, string|null>} bases per group written: the stamp that was seen
 * @property {boolean} [erase]
 * @property {boolean} [numbered] a sale that takes the next receipt number as it is saved
 */

/**
 * The person's wish against what this phone holds: groups that would not change are left out.
 * @param {{type: string, id: string, fields: Fields, seen?: Seen}} wish
 * @param {Row|undefined} held the record as it stands
 * @returns {Intent}
 * @throws {CrestrailError} `bad_field`, its details naming the fields
 */
export function intentOf({ type, id, fields, seen = {} }, held) {
  const details = checkFields(type, fields, { creating: !held });
  if (details.length) throw new CrestrailError('bad_field', {}, details);
  /** @type {Intent} */
  const intent = { type, id, fields: {}, bases: {} };
  for (const group of new Set(Object.keys(fields).map((name) => groupOf(type, name)))) {
    const given = pick(fields, namesIn(type, group));
    const old = held ? pick(held.fields, namesIn(type, group)) : {};
    if (held?.stamps[group] && sameValues({ ...old, ...given }, old)) continue;
    if (!held?.stamps[group] && Object.values(given).every((v) => v === null)) continue;
    Object.assign(intent.fields, given);
    intent.bases[group] = (group in seen ? seen[group] : held?.stamps[group]) ?? null;
  }
  return intent;
}

/** @param {Intent} intent */
export const isEmpty = (intent) => !intent.erase && !Object.keys(intent.bases).length;

/**
 * The record after the write, and the change to send: whole groups, under one new stamp.
 * @param {Intent} intent
 * @param {Row|undefined} stored
 * @param {{key: string, stamp: string}} names
 * @returns {{row: Row, change: Change, previous: {fields: Fields, stamps: Record<string, string>}}}
 */
export function written(intent, stored, { key, stamp }) {
  const { type, id, bases } = intent;
  /** @type {Fields} */
  const fields = {};
  /** @type {Record<string, string>} */
  const stamps = {};
  /** @type {{fields: Fields, stamps: Record<string, string>}} */
  const previous = { fields: {}, stamps: {} };
  for (const group of Object.keys(bases)) {
    const names = namesIn(type, group);
    const old = pick(stored?.fields ?? {}, names);
    Object.assign(fields, old, pick(intent.fields, names));
    stamps[group] = stamp;
    Object.assign(previous.fields, old);
    if (stored?.stamps[group]) previous.stamps[group] = stored.stamps[group];
  }
  const row = {
    type, id,
    fields: { ...stored?.fields, ...fields },
    stamps: { ...stored?.stamps, ...stamps },
  };
  return { row, change: { key, type, id, fields, stamps, bases }, previous };
}

/**
 * The record's grave and the change that digs it elsewhere.
 * @param {Intent} intent
 * @param {{key: string, stamp: string}} names
 * @returns {{row: Row, change: Change, previous: {fields: Fields, stamps: Record<string, string>}}}
 */
export function erased({ type, id }, { key, stamp }) {
  const stamps = { [ERASED]: stamp };
  return {
    row: { type, id, fields: {}, stamps, erased: true },
    change: { key, type, id, erase: true, stamps },
    previous: { fields: {}, stamps: {} },
  };
}

/**
 * The wish that takes a write back: the values from before, or `deleted` for a new record. What
 * the person saw is the write itself: a value that came from another phone since is contested.
 * @param {Change} change
 * @param {{fields: Fields, stamps: Record<string, string>}} previous
 * @param {boolean} created
 * @returns {{type: string, id: string, fields: Fields, seen?: Seen}}
 */
export function undone(change, previous, created) {
  const { type, id, stamps: seen } = change;
  if (created) return { type, id, fields: { deleted: true } };
  const names = Object.keys(change.fields ?? {});
  const fields = Object.fromEntries(names.map((name) => [name, previous.fields[name] ?? null]));
  return { type, id, fields, seen };
}

/**
 * The record as it was before a change that is given up; null when nothing is left of it.
 * Groups that were written again since then stay.
 * @param {Row} row
 * @param {OutboxEntry} entry
 * @returns {Row|null}
 */
export function takenBack(row, { change, previous }) {
  const fields = { ...row.fields };
  const stamps = { ...row.stamps };
  for (const [group, stamp] of Object.entries(change.stamps)) {
    if (stamps[group] !== stamp) continue;
    delete stamps[group];
    for (const name of namesIn(change.type, group)) delete fields[name];
    if (!previous.stamps[group]) continue;
    stamps[group] = previous.stamps[group];
    Object.assign(fields, pick(previous.fields, namesIn(change.type, group)));
  }
  return Object.keys(stamps).length ? { ...row, fields, stamps } : null;
}

/**
 * @param {Fields} fields
 * @param {readonly string[]} names
 * @returns {Fields}
 */
export const pick = (fields, names) =>
  Object.fromEntries(names.filter((n) => fields[n] !== undefined).map((n) => [n, fields[n]]));
