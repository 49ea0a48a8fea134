import { merge } from '../records/merge.js';
import { HybridClock, parseStamp } from '../records/stamps.js';
import { metaOf, putMeta } from '../store/meta.js';
import {
  drop, dropThrough, forgetWaiting, putEntry, sendAlone, setAside, unsentOf,
} from '../store/outbox.js';
import { dropErased } from '../store/photos.js';
import { dropRow, putRows, rowOf } from '../store/records.js';
import { takenBack } from '../store/writing.js';

/** @typedef {import('../store/open.js').Tx} Tx */
/** @typedef {import('../store/types.js').Row} Row */
/** @typedef {import('../store/types.js').OutboxEntry} OutboxEntry */
/** @typedef {import('./page.js').Sent} Sent */
/** @typedef {{code: string, message: string, details: any[], at: string}} Reason */
/**
 * @typedef {{rows: Row[], dropped: [string, string][], refused: number, reconcile: boolean}} Done
 */

const TAKEN = ['applied', 'known', 'conflict'];

/**
 * Store an answer: what was named as taken leaves the outbox, what was refused is set aside,
 * home's rows are merged in, and the cursor moves, all in the caller's transaction. An entry
 * written while the page was on its way is in nobody's page and stays.
 * @param {Tx} tx
 * @param {Sent[]} page
 * @param {any} answer
 * @param {{device: string, at: string}} here
 * @returns {Promise<Done>}
 */
export async function applyAnswer(tx, page, answer, { device, at }) {
  const reconcile = (await metaOf(tx, 'reconcile')) === true;
  /** @type {Done} */
  const done = { rows: [], dropped: [], refused: 0, reconcile };
  const sent = new Map(page.map((one) => [one.change.key, one]));
  /** @type {number[]} */
  const taken = [];
  for (const outcome of answer.outcomes ?? []) {
    const one = sent.get(outcome.key);
    if (!one) continue;
    if (TAKEN.includes(outcome.outcome)) taken.push(...seqsOf(one));
    if (outcome.outcome !== 'refused') continue;
    await setAsideOne(tx, one, { ...outcome, at }, done);
  }
  const all = page.flatMap(seqsOf);
  await (taken.length === all.length ? dropThrough(tx, all) : drop(tx, taken));
  if (answer.reset) return done;
  done.rows.push(...(await mergeRows(tx, answer.records, reconcile)));
  await noteStamps(tx, answer.records, device);
  await putMeta(tx, 'cursor', answer.cursor);
  return done;
}

/**
 * Set aside a change that home refused, the only one of its page.
 * @param {Tx} tx
 * @param {Sent} one
 * @param {Reason} reason
 * @returns {Promise<Done>}
 */
export async function setAsideAlone(tx, one, reason) {
  /** @type {Done} */
  const done = { rows: [], dropped: [], refused: 0, reconcile: false };
  await setAsideOne(tx, one, reason, done);
  return done;
}

/** @param {Sent} one */
const seqsOf = (one) => one.entries.map((entry) => entry.seq);

/**
 * Of several edits joined only one may be at fault: they are sent one by one before any is given up.
 * @param {Tx} tx
 * @param {Sent} one
 * @param {Reason} reason
 * @param {Done} done
 */
async function setAsideOne(tx, one, reason, done) {
  if (one.entries.length > 1) return void (await sendAlone(tx, one.entries));
  done.refused += 1;
  const { code = 'internal', message = '', details = [], at } = reason;
  const { change, entries: [entry] } = one;
  await setAside(tx, { key: change.key, change, code, message, details, at });
  await drop(tx, seqsOf(one));
  const { type, id } = change;
  const stored = await rowOf(tx, type, id);
  const row = stored && !stored.erased && !entry.echo ? takenBack(stored, entry) : stored;
  if (row) {
    await putRows(tx, [row]);
    done.rows.push(row);
  } else {
    await dropRow(tx, type, id);
    done.dropped.push([type, id]);
  }
}

/**
 * @param {Tx} tx
 * @param {Row[]} incoming
 * @param {boolean} reconcile keep also which stamps home has
 * @returns {Promise<Row[]>} the records as they are now
 */
async function mergeRows(tx, incoming, reconcile) {
  const pending = (await tx.objectStore('outbox').count()) > 0;
  return Promise.all(incoming.map(async (row) => {
    const stored = await rowOf(tx, row.type, row.id);
    const merged = stored ? /** @type {Row} */ (merge(stored, row).record) : row;
    await putRows(tx, [merged]);
    if (merged.erased) await forgetErased(tx, merged, stored);
    if (pending) await keepAsPrevious(tx, row);
    const { type, id, stamps } = row;
    if (reconcile) await tx.objectStore('home_stamps').put({ type, id, stamps });
    return merged;
  }));
}

/**
 * Nothing that was said of an erased record is left on this phone.
 * @param {Tx} tx
 * @param {Row} row
 * @param {Row|undefined} before
 */
async function forgetErased(tx, row, before) {
  await forgetWaiting(tx, row.type, row.id);
  await dropErased(tx, before);
}

/**
 * An unsent edit that home refuses later is to fall back to home's newest value, not to the
 * one that stood when it was written.
 * @param {Tx} tx
 * @param {Row} row
 */
async function keepAsPrevious(tx, row) {
  if (row.erased) return;
  for (const entry of await unsentOf(tx, row.type, row.id)) {
    if (entry.change.erase) continue;
    const { previous, change } = entry;
    const before = { type: row.type, id: row.id, ...previous };
    const { record } = merge(before, row);
    const groups = Object.keys(change.stamps).filter((group) => record.stamps[group]);
    const stamps = Object.fromEntries(groups.map((group) => [group, record.stamps[group]]));
    await putEntry(tx, { ...entry, previous: { fields: record.fields, stamps } });
  }
}

/**
 * The phone's clock moves past everything it has seen of home's.
 * @param {Tx} tx
 * @param {Row[]} rows
 * @param {string} device
 */
async function noteStamps(tx, rows, device) {
  const stamps = rows.flatMap((row) => Object.values(row.stamps));
  if (!stamps.length) return;
  const newest = stamps.reduce((a, b) => (a > b ? a : b));
  const known = (await metaOf(tx, 'homeLatest')) ?? '';
  if (newest > known) {
    await putMeta(tx, 'homeLatest', newest);
    await putMeta(tx, 'homeLatestMs', parseStamp(newest).ms);
  }
  const clock = new HybridClock(device, await metaOf(tx, 'clock'));
  if (newest <= clock.last) return;
  clock.receive(newest, 0);
  await putMeta(tx, 'clock', clock.last);
}
