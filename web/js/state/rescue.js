import { CrestrailError } from '../basis/errors.js';
import { newId, systemRandom } from '../basis/ids.js';
import { merge } from '../records/merge.js';
import { HybridClock, parseStamp } from '../records/stamps.js';
import { allDrafts, draftOf, putDraft } from '../store/drafts.js';
import { metaOf, putMeta } from '../store/meta.js';
import { allRefused, enqueue, forgetWaiting, oldest, setAside, waiting } from '../store/outbox.js';
import { PHOTO_STORES, allPhotos, dropErased, pictureOf } from '../store/photos.js';
import { allRows, putRows, rowOf } from '../store/records.js';

/** @typedef {import('./household.js').Household} Household */
/** @typedef {import('../store/types.js').Change} Change */
/** @typedef {import('../store/types.js').Row} Row */

const VERSION = 1;
const BATCH = 200;
/** A stamp further ahead than this was made by a wrong clock; home would not take it. */
const LEEWAY_MS = 10 * 60_000;

/**
 * What a file brought: changes, pictures, refused changes and half-typed work that were new here;
 * and how many half-typed things stayed in the file, because the same is being typed here.
 * @typedef {{changes: number, photos: number, refused: number, drafts: number, left: number}} Brought
 */

/**
 * Everything on this phone as JSON lines: what it is, the changes that are not at home, every
 * record as a change that makes it, what home refused with its reasons, half-typed work, and the
 * pictures held here. Pictures are read one by one, so
 * that hundreds of them need no more memory than one.
 * @param {Household} household
 * @returns {Promise<Blob>}
 */
export async function saveEverything(household) {
  const { id, device, store } = household;
  const stores = ['records', 'outbox', 'refused', 'drafts'];
  const { rows, entries, refused, drafts } = await store.read(stores, async (tx) => ({
    rows: await allRows(tx),
    entries: await oldest(tx),
    refused: await allRefused(tx),
    drafts: await allDrafts(tx),
  }));
  const unsent = entries.map(({ change }) => lineOf({ change }));
  const whole = rows.map((row) => lineOf({ change: asChange(household, row) }));
  const head = lineOf({ crestrail_rescue: VERSION, household: id, device });
  const aside = [
    ...refused.map((one) => lineOf({ refused: one })),
    ...drafts.map(([draft, value]) => lineOf({ draft, value })),
  ];
  const parts = [new Blob([head, ...unsent, ...whole, ...aside])];
  for (const { sha256 } of await store.read(PHOTO_STORES, allPhotos)) {
    const blob = await store.read(PHOTO_STORES, (tx) => pictureOf(tx, sha256, false));
    if (blob) parts.push(new Blob([lineOf({ photo: sha256, data: await base64Of(blob) })]));
  }
  return new Blob(parts, { type: 'application/jsonl' });
}

/**
 * Take in a file that another phone, or this one, saved: its changes go home with this phone's.
 * Taking the same file twice does no harm.
 * @param {Household} household
 * @param {Blob} file
 * @returns {Promise<Brought>}
 * @throws {CrestrailError} `bad_json` for a file of another kind, `other_household`
 */
export async function bringHome(household, file) {
  /** @type {Brought} */
  const told = { changes: 0, photos: 0, refused: 0, drafts: 0, left: 0 };
  /** @type {Change[]} */
  let batch = [];
  let first = true;
  for await (const line of linesOf(file)) {
    if (first) checkHead(line, household.id);
    first = false;
    if (line.change) batch.push(line.change);
    if (line.photo) told.photos += Number(await takePhoto(household, line));
    if (line.refused) told.refused += Number(await takeRefused(household, line.refused));
    if (line.draft) told[await takeDraft(household, line)] += 1;
    if (batch.length < BATCH) continue;
    told.changes += await takeChanges(household, batch);
    batch = [];
  }
  if (first) checkHead(null, household.id);
  told.changes += await takeChanges(household, batch);
  await household.engine.recount();
  household.engine.saved();
  if (told.refused) household.changed([], [], ['refused']);
  return told;
}

/** @param {any} value */
const lineOf = (value) => `${JSON.stringify(value)}\n`;

/**
 * @param {Household} household
 * @param {Row} row
 * @returns {Change}
 */
function asChange({ clock, env }, { type, id, fields, stamps, erased }) {
  const key = newId(clock.now(), env.randomBytes);
  if (erased) return { key, type, id, erase: true, stamps };
  const bases = Object.fromEntries(Object.keys(stamps).map((group) => [group, null]));
  return { key, type, id, fields, stamps, bases };
}

/**
 * @param {any} line
 * @param {string} household
 */
function checkHead(line, household) {
  if (line?.crestrail_rescue !== VERSION) {
    throw new CrestrailError('bad_json', { reason: 'it was not saved by Crestrail' });
  }
  if (line.household !== household) throw new CrestrailError('other_household');
}

/**
 * @param {Blob} file
 * @returns {AsyncGenerator<any>} one value a line
 */
async function* linesOf(file) {
  let rest = '';
  const reader = file.stream().pipeThrough(new TextDecoderStream()).getReader();
  for (;;) {
    const { value, done } = await reader.read();
    const lines = (rest + (value ?? '')).split('\n');
    rest = done ? '' : (lines.pop() ?? '');
    for (const line of lines) if (line.trim()) yield parsed(line);
    if (done) return;
  }
}

/** @param {string} line */
function parsed(line) {
  try {
    return JSON.parse(line);
  } catch {
    throw new CrestrailError('bad_json', { reason: 'a line of the file is damaged' });
  }
}

/**
 * @param {Household} household
 * @param {Change[]} changes
 * @returns {Promise<number>} how many said something this phone did not have
 */
async function takeChanges(household, changes) {
  const { clock, device, store } = household;
  if (!changes.length) return 0;
  const stores = ['records', 'outbox', 'refused', 'meta', ...PHOTO_STORES];
  const done = await store.write(stores, async (tx) => {
    const hybrid = new HybridClock(device, await metaOf(tx, 'clock'));
    const waits = new Set((await oldest(tx)).map((entry) => entry.change.key));
    /** @type {Row[]} */
    const rows = [];
    for (const carried of changes) {
      const change = ofThePresent(carried, hybrid, clock.now());
      const stored = await rowOf(tx, change.type, change.id);
      const { record, winners, losers } = merge(stored ?? null, asRecord(change));
      const lost = losers.some((write) => write.stamp === change.stamps[write.group]);
      if (waits.has(change.key) || (!winners.length && !lost)) continue;
      rows.push(/** @type {Row} */ (record));
      await putRows(tx, [/** @type {Row} */ (record)]);
      if (record.erased) {
        await forgetWaiting(tx, change.type, change.id);
        await dropErased(tx, stored);
      }
      const previous = { fields: {}, stamps: {} };
      await enqueue(tx, { change, previous, wall: clock.wall(), offset: clock.offset, echo: true });
    }
    await putMeta(tx, 'clock', hybrid.last);
    return { rows, counts: await waiting(tx) };
  });
  household.engine.status.update(done.counts);
  if (done.rows.length) household.changed(done.rows);
  return done.rows.length;
}

/**
 * A change as it may go home: one from the future (the other phone's clock was wrong) counts as
 * written now, on this phone. The clock never goes below what was taken in.
 * @param {Change} change
 * @param {HybridClock} hybrid this phone's
 * @param {number} now ms
 * @returns {Change}
 */
function ofThePresent(change, hybrid, now) {
  const newest = Object.values(change.stamps).reduce((a, b) => (a > b ? a : b), '');
  if (!newest) return change;
  if (parseStamp(newest).ms <= now + LEEWAY_MS) {
    hybrid.receive(newest, now);
    return change;
  }
  const stamp = hybrid.tick(now);
  const stamps = Object.fromEntries(Object.keys(change.stamps).map((group) => [group, stamp]));
  return { ...change, key: newId(now, systemRandom), stamps };
}

/**
 * @param {Change} change
 * @returns {Row}
 */
const asRecord = ({ type, id, fields, stamps, erase }) =>
  ({ type, id, fields: fields ?? {}, stamps, ...(erase ? { erased: true } : {}) });

/**
 * @param {Household} household
 * @param {{photo: string, data: string}} line
 * @returns {Promise<boolean>} whether it was new here
 */
async function takePhoto({ pictures, clock }, { photo, data }) {
  const bytes = Uint8Array.from(atob(data), (symbol) => symbol.charCodeAt(0));
  return pictures.keepAsIs(new Blob([bytes], { type: 'image/jpeg' }), photo, clock.now());
}

/**
 * A change that home refused is kept here with its reason; it is not sent again.
 * @param {Household} household
 * @param {import('../store/types.js').RefusedEntry} entry
 * @returns {Promise<boolean>} whether it was new here
 */
function takeRefused({ store }, entry) {
  return store.write(['refused'], async (tx) => {
    const known = (await allRefused(tx)).some((one) => one.key === entry.key);
    if (!known) await setAside(tx, entry);
    return !known;
  });
}

/**
 * Half-typed work is taken over unless the same is being typed here.
 * @param {Household} household
 * @param {{draft: string, value: any}} line
 * @returns {Promise<"drafts"|"left">}
 */
function takeDraft({ store }, { draft, value }) {
  return store.write(['drafts'], async (tx) => {
    const here = await draftOf(tx, draft);
    if (here === undefined) await putDraft(tx, draft, value);
    const taken = here === undefined || JSON.stringify(here) === JSON.stringify(value);
    return taken ? 'drafts' : 'left';
  });
}

/** @param {Blob} blob */
async function base64Of(blob) {
  const bytes = new Uint8Array(await blob.arrayBuffer());
  let text = '';
  for (let i = 0; i < bytes.length; i += 0x8000) {
    text += String.fromCharCode(...bytes.subarray(i, i + 0x8000));
  }
  return btoa(text);
}
