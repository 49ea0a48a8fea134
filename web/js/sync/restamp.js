import { newId } from '../basis/ids.js';
import { RECORD_TYPES } from '../records/schema.js';
import { deviceOf } from '../records/merge.js';
import { firstStamp, parseStamp, restamp } from '../records/stamps.js';
import { metaOf, putMeta } from '../store/meta.js';
import { enqueue, oldest, putEntry } from '../store/outbox.js';
import { putRows, rowOf } from '../store/records.js';

/** @typedef {import('../store/open.js').Tx} Tx */
/** @typedef {import('../store/types.js').Row} Row */
/** @typedef {import('../store/types.js').Fields} Fields */
/** @typedef {import('../store/types.js').OutboxEntry} OutboxEntry */
/**
 * @typedef {object} Correction
 * @property {number} offset what has to be added to the phone's clock, ms
 * @property {number} home home's clock, ms: nothing was written later than that
 * @property {string} device
 * @property {boolean} refused home refused a stamp, however small the difference
 * @property {(n: number) => Uint8Array} randomBytes
 * @property {(ms: number) => string} dayOf the household's day of a moment
 * @property {string} [latest] the newest stamp seen of home's
 */
/** @typedef {{entry: OutboxEntry, from: string, shift: number}} Mended */

/** Stamps that are off by less than this are left alone. */
const SMALL_MS = 60_000;
/** Times that were moved by more than this are pointed out to a person. */
const NOTED_MS = 3_600_000;
const DAY_MS = 86_400_000;

/**
 * Put right what waits in the outbox, and the records it belongs to, once it is known how
 * wrong the phone's clock was when each edit was written.
 * @param {Tx} tx
 * @param {Correction} to
 * @returns {Promise<Row[]>} the records that changed
 */
export async function mendClocks(tx, to) {
  const latest = (await metaOf(tx, 'homeLatest')) ?? '';
  const mended = restamped(await oldest(tx), { ...to, latest });
  if (!mended.length) return [];
  /** @type {Map<string, Row>} */
  const rows = new Map();
  for (const one of mended) {
    await putEntry(tx, one.entry);
    const { type, id } = one.entry.change;
    const name = `${type} ${id}`;
    const row = rows.get(name) ?? (await rowOf(tx, type, id));
    if (row) rows.set(name, follow(row, one));
  }
  const last = Object.values(mended[mended.length - 1].entry.change.stamps)[0];
  const noted = await noteCorrections(tx, mended, to, last);
  const clock = noted.last > latest ? noted.last : moved(latest, to.device);
  await putMeta(tx, 'clock', clock);
  await putRows(tx, [...rows.values()]);
  return [...rows.values(), ...noted.looks];
}

/**
 * The entries with stamps and facts as a right clock would have written them, in the order of
 * the outbox: max(corrected time, base + 1), never before the entry in front of it.
 * @param {OutboxEntry[]} entries
 * @param {Correction} to
 * @returns {Mended[]} none when no entry is off by enough
 */
export function restamped(entries, to) {
  const own = entries.filter((entry) => !entry.echo);
  const times = correctedTimes(own, to);
  const off = own.some((entry, i) => Math.abs(times[i] - written(entry)) > SMALL_MS);
  const ahead = own.some((entry) => parseStamp(stampOf(entry)).ms > to.home + SMALL_MS);
  if (!off && !ahead && !to.refused) return [];
  /** @type {Map<string, string>} */
  const renamed = new Map();
  let last = firstStamp(to.device);
  return own.map((entry, i) => {
    const from = stampOf(entry);
    const bases = rebased(entry.change.bases ?? {}, renamed);
    const base = newest(Object.values(bases));
    last = restamp(last, base, times[i]);
    renamed.set(from, last);
    const shift = times[i] - written(entry);
    const mended = { ...entry, offset: times[i] - entry.wall };
    return { from, shift, entry: withStamp(mended, { stamp: last, bases, shift, to, renamed }) };
  });
}

/** @param {OutboxEntry} entry when it was written, as the phone thought, ms */
const written = (entry) => entry.wall + entry.offset;

/** @param {OutboxEntry} entry one write has one stamp */
const stampOf = (entry) => Object.values(entry.change.stamps)[0];

/**
 * When each was really written. The phone's clock may have jumped in between: an entry can't be
 * later than the one behind it, nor than home's now.
 * @param {OutboxEntry[]} entries
 * @param {Correction} to
 */
function correctedTimes(entries, to) {
  const times = entries.map((entry) => entry.wall + to.offset);
  let top = to.home;
  for (let i = times.length - 1; i >= 0; i -= 1) {
    times[i] = Math.min(times[i], top);
    top = times[i];
  }
  return times;
}

/**
 * @param {Record<string, string|null>} bases
 * @param {Map<string, string>} renamed
 */
const rebased = (bases, renamed) =>
  Object.fromEntries(Object.entries(bases).map(([g, s]) => [g, s && (renamed.get(s) ?? s)]));

/** @param {(string|null)[]} stamps */
const newest = (stamps) => stamps.reduce((a, b) => ((b ?? '') > (a ?? '') ? b : a), null);

/**
 * @param {OutboxEntry} entry
 * @param {{stamp: string, bases: Record<string, string|null>, shift: number, to: Correction,
 *   renamed: Map<string, string>}} how
 * @returns {OutboxEntry}
 */
function withStamp(entry, { stamp, bases, shift, to, renamed }) {
  const { change, previous } = entry;
  const groups = Object.keys(change.stamps);
  const stamps = Object.fromEntries(groups.map((group) => [group, stamp]));
  const key = newId(written(entry), to.randomBytes);
  const before = /** @type {Record<string, string>} */ (rebased(previous.stamps, renamed));
  const mended = { ...entry, previous: { ...previous, stamps: before } };
  if (change.erase) return { ...mended, change: { ...change, key, stamps } };
  const fields = shifted(change.type, change.fields ?? {}, { shift, at: written(entry), to });
  return { ...mended, change: { ...change, key, stamps, bases, fields } };
}

/**
 * The facts of a change moved by what the clock was off: moments and days that lie nearer to
 * the wrong now than to the right one were taken from the clock; what a person typed stays.
 * @param {string} type
 * @param {Fields} fields
 * @param {{shift: number, at: number, to: Correction}} by `at`: the right time of writing
 * @returns {Fields}
 */
function shifted(type, fields, { shift, at, to }) {
  if (Math.abs(shift) < SMALL_MS) return fields;
  const isClocks = (/** @type {number} */ ms) => Math.abs(ms - (at - shift)) < Math.abs(ms - at);
  const moved = { ...fields };
  const known = RECORD_TYPES[type]?.fields ?? [];
  for (const { name, type: kind } of known) {
    const value = fields[name];
    if (typeof value !== 'string') continue;
    if (kind === 'instant' && isClocks(Date.parse(value))) {
      moved[name] = new Date(Date.parse(value) + shift).toISOString();
    }
    if (kind === 'date') moved[name] = shiftedDay(value, { shift, at, to });
  }
  return moved;
}

/**
 * @param {string} day
 * @param {{shift: number, at: number, to: Correction}} by
 */
function shiftedDay(day, { shift, at, to }) {
  if (day === to.dayOf(at - shift)) return to.dayOf(at);
  const noon = Date.parse(`${day}T12:00:00.000Z`);
  if (Math.abs(noon - (at - shift)) >= Math.abs(noon - at)) return day;
  const days = Math.round(shift / DAY_MS);
  return new Date(noon + days * DAY_MS).toISOString().slice(0, 10);
}

/**
 * The record follows its mended change where that change stands in it, still or by its new stamp.
 * @param {Row} row
 * @param {Mended} mended
 * @returns {Row}
 */
function follow(row, { entry, from }) {
  const { change } = entry;
  const groups = Object.keys(change.stamps).filter((group) =>
    row.stamps[group] === from || (row.stamps[group] ?? '') < change.stamps[group]);
  if (!groups.length) return row;
  const known = RECORD_TYPES[row.type]?.fields ?? [];
  const names = known.filter((f) => groups.includes(f.group ?? f.name)).map((f) => f.name);
  const given = names.filter((name) => name in (change.fields ?? {}));
  const fields = Object.fromEntries(given.map((name) => [name, change.fields?.[name]]));
  const stamps = Object.fromEntries(groups.map((group) => [group, change.stamps[group]]));
  return { ...row, fields: { ...row.fields, ...fields }, stamps: { ...row.stamps, ...stamps } };
}

/**
 * A look for every record whose facts were moved by more than an hour.
 * @param {Tx} tx
 * @param {Mended[]} mended
 * @param {Correction} to
 * @param {string} before the last stamp used so far
 * @returns {Promise<{last: string, looks: Row[]}>}
 */
async function noteCorrections(tx, mended, to, before) {
  /** @type {Map<string, Row>} by the record they are about */
  const looks = new Map();
  let last = before;
  for (const { entry, shift } of mended) {
    const { type, id, erase } = entry.change;
    if (Math.abs(shift) <= NOTED_MS || erase || looks.has(id) || !hasTimes(type)) continue;
    last = restamp(last, null, written(entry));
    const key = newId(to.home, to.randomBytes);
    const { bases, ...look } = lookAt({ type, id }, { id: key, stamp: last, at: to.home });
    looks.set(id, look);
    await putRows(tx, [look]);
    const previous = { fields: {}, stamps: {} };
    const { wall, offset } = entry;
    await enqueue(tx, { change: { key, ...look, bases }, previous, wall, offset });
  }
  return { last, looks: [...looks.values()] };
}

/** @param {string} type */
const hasTimes = (type) =>
  (RECORD_TYPES[type]?.fields ?? []).some((field) => field.type === 'instant');

/**
 * @param {{type: string, id: string}} about
 * @param {{id: string, stamp: string, at: number}} names
 * @returns {Row & {bases: Record<string, string|null>}}
 */
function lookAt(about, { id, stamp, at }) {
  const message = 'This phone’s clock was wrong when this was written. The times were put right.';
  const groups = ['at', 'reason', 'about'];
  return {
    type: 'look', id,
    fields: {
      at: new Date(at).toISOString(), reason: 'time_corrected', about_type: about.type,
      about_id: about.id, message,
    },
    stamps: Object.fromEntries(groups.map((group) => [group, stamp])),
    bases: Object.fromEntries(groups.map((group) => [group, null])),
  };
}

/**
 * @param {string} stamp
 * @param {string} device
 */
const moved = (stamp, device) => stamp.slice(0, 18) + device;
