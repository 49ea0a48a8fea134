import { toText } from '../basis/clock.js';
import { newId } from '../basis/ids.js';
import { countDrafts, draftOf, putDraft } from '../store/drafts.js';
import { allMeta, metaOf } from '../store/meta.js';
import { Store } from '../store/open.js';
import { allRefused, forgetRefused, waiting } from '../store/outbox.js';
import { allRows, rowsOf } from '../store/records.js';
import { isEmpty } from '../store/writing.js';
import { Exchange } from '../sync/exchange.js';
import { SyncEngine } from '../sync/engine.js';
import { HouseClock } from '../sync/house-clock.js';
import { Transport } from '../sync/transport.js';
import { dayOf } from './days.js';
import { realEnv } from './env.js';
import { Memory } from './memory.js';
import { Pictures } from './pictures.js';
import { bringHome, saveEverything } from './rescue.js';
import { intentsOf, save } from './saving.js';

/** @typedef {import('../store/types.js').Row} Row */
/** @typedef {import('./env.js').Env} Env */
/** @typedef {import('./env.js').Identity} Identity */
/** @typedef {import('./saving.js').Wish} Wish */
/** @typedef {{ids: string[], undo: () => Promise<any>}} Written */
/** @typedef {[type: string, id: string]} Key */

/** What is read to know how this phone stands. */
const STORES = ['records', 'meta', 'outbox', 'photos'];

/** The household as screens see it: all of it in memory, every write durable before it shows. */
export class Household {
  /**
   * @param {Identity} identity
   * @param {Env} env
   */
  constructor(identity, env) {
    this.id = identity.id;
    this.device = identity.device;
    this.name = identity.name ?? '';
    this.origin = identity.origin ?? '';
    this.sample = identity.sample ?? false;
    this.env = env;
    this.store = new Store(this.id);
    this.memory = new Memory();
    this.clock = new HouseClock(env.wall);
    this.transport = new Transport(env.fetch);
    this.pictures = new Pictures(this.store, this.transport);
    /** @type {any} */
    this.book = null;
    /** @type {Set<(types: Set<string>) => void>} */
    this.listeners = new Set();
    this.channel = new BroadcastChannel(`crestrail-${this.id}`);
    this.channel.onmessage = (event) => this.#heard(event.data);
    /** @type {SyncEngine} */
    this.engine = new SyncEngine(this, new Exchange(this));
  }

  /** Read everything into memory. */
  async load() {
    const { rows, meta, counts } = await this.store.read(STORES, async (tx) =>
      ({ rows: await allRows(tx), meta: await allMeta(tx), counts: await waiting(tx) }));
    this.memory.put(rows);
    this.clock.offset = meta.offset ?? 0;
    this.book = meta.book ?? null;
    this.engine.status.update({ ...counts, lastHomeAt: meta.lastHomeAt ?? null });
  }

  /** @returns {Date} the household's time, corrected by what home taught */
  now() {
    return new Date(this.clock.now());
  }

  /** @returns {string} the household's calendar day */
  today() {
    return this.dayOf(this.clock.now());
  }

  /** @param {number|Date} moment */
  dayOf(moment) {
    return dayOf(Number(moment), this.setting.time_zone);
  }

  /** @returns {{at: string, on: string}} the moment and its day, as facts carry them */
  when() {
    const now = this.now();
    return { at: toText(now), on: this.dayOf(now) };
  }

  /** @returns {Record<string, any>} the one setting record; `{}` before the first sync */
  get setting() {
    return this.memory.get('setting', this.id) ?? {};
  }

  /** @type {Memory["all"]} live records, in the order they were made; not to be changed */
  all(type) {
    return this.memory.all(type);
  }

  /** @type {Memory["get"]} the live record, or null */
  get(type, id) {
    return this.memory.get(type, id);
  }

  /** @type {Memory["where"]} live records with a value, or with it in a list */
  where(type, field, value) {
    return this.memory.where(type, field, value);
  }

  /** @returns {import('../sync/status.js').SyncStatus} how things stand with home */
  get sync() {
    return this.engine.status.now;
  }

  /** @type {Memory["stampsOf"]} by group, of a record as it was given out, however long ago */
  stampsOf(record) {
    return this.memory.stampsOf(record);
  }

  syncNow() {
    return this.engine.syncNow();
  }

  /** @returns {string} an id for a record that is about to be written */
  newId() {
    return newId(this.clock.now(), this.env.randomBytes);
  }

  /**
   * Save what a person did: all of it or nothing, durable before this resolves.
   * @param {Wish[]} changes whole records or single fields; without `id` a record is made
   * @returns {Promise<Written>} the ids in order; `undo` writes the earlier values back
   * @throws {CrestrailError} `bad_field` naming the fields; `disk_full`
   */
  async write(changes) {
    const wishes = changes.map((change) => ({ ...change, id: change.id ?? this.newId() }));
    const intents = intentsOf(this, wishes).filter((intent) => !isEmpty(intent));
    const undo = await this.commit(intents);
    const ids = wishes.map(({ id }) => id);
    return { ids, undo: () => (undo.length ? this.write(undo) : Promise.resolve()) };
  }

  /** @type {(type: string, id: string) => Promise<void>} blank it for good, everywhere; no undo */
  async erase(type, id) {
    await this.commit([{ type, id, fields: {}, bases: {}, erase: true }]);
  }

  /**
   * @param {import('../store/writing.js').Intent[]} intents all kept in one transaction, or none
   * @returns {Promise<Wish[]>} what takes it back
   */
  async commit(intents) {
    if (!intents.length) return [];
    const { rows, undo, counts } = await save(this, intents);
    this.engine.status.update(counts);
    this.changed(rows);
    this.engine.saved();
    return undo;
  }

  /**
   * Rows were committed (here, by sync): memory, screens and other tabs follow.
   * @param {Row[]} rows
   * @param {Key[]} [dropped] records that are stored no longer
   * @param {string[]} [also] what else changed: `book`, `refused`
   */
  changed(rows, dropped = [], also = []) {
    this.pictures.release(rows.filter((row) => row.erased)
      .map(({ type, id }) => this.memory.row(type, id)?.fields.sha256));
    const types = new Set([...this.memory.put(rows), ...this.memory.drop(dropped), ...also]);
    const keys = [...rows.map((row) => [row.type, row.id]), ...dropped];
    this.channel.postMessage({ keys, also });
    this.notify(types);
  }

  /** @param {Set<string>} types record types, and `sync`, `book`, `refused` */
  notify(types) {
    if (!types.size) return;
    for (const listener of this.listeners) listener(types);
  }

  /**
   * @param {(types: Set<string>) => void} listener called after every committed change
   * @returns {() => void} stops it
   */
  subscribe(listener) {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  /**
   * Another tab committed something: read what it was.
   * @param {{keys: Key[], also: string[], status?: any}} message
   */
  async #heard({ keys, also, status }) {
    if (this.store.closed) return;
    if (status) return this.#heardStatus(status);
    const read = await this.store.read(STORES, async (tx) => ({
      rows: await rowsOf(tx, keys),
      counts: await waiting(tx),
      book: await metaOf(tx, 'book'),
    }));
    const found = new Set(read.rows.map((row) => `${row.type} ${row.id}`));
    const gone = keys.filter(([type, id]) => !found.has(`${type} ${id}`));
    this.book = read.book ?? null;
    this.engine.status.update(read.counts);
    this.notify(new Set([...this.memory.put(read.rows), ...this.memory.drop(gone), ...also]));
  }

  /** @param {{offset?: number}} status what the tab that spoke with home says */
  #heardStatus({ offset, ...news }) {
    this.clock.offset = offset ?? this.clock.offset;
    this.engine.status.update(news);
  }

  /** @param {Blob} blob a picture as the camera gave it */
  async savePhoto(blob) {
    const photo = await this.pictures.save(blob, this.clock.now());
    await this.engine.recount();
    this.engine.saved();
    return photo;
  }

  /**
   * @param {string} sha256
   * @param {{thumb?: boolean}} [options]
   * @returns {Promise<string|null>} an object URL; null when neither phone nor home has it
   */
  photoUrl(sha256, { thumb = false } = {}) {
    return this.pictures.url(sha256, thumb);
  }

  /**
   * Half-typed work, kept until it is saved or thrown away.
   * @param {string} name
   * @param {any} value null throws it away
   */
  saveDraft(name, value) {
    return this.store.write(['drafts'], async (tx) => void (await putDraft(tx, name, value)));
  }

  /** @param {string} name */
  async draft(name) {
    return (await this.store.read(['drafts'], (tx) => draftOf(tx, name))) ?? null;
  }

  /** @returns {Promise<boolean>} whether anything half-typed is kept */
  hasDrafts() {
    return this.store.read(['drafts'], async (tx) => (await countDrafts(tx)) > 0);
  }

  /** @returns {Promise<import('../store/types.js').RefusedEntry[]>} changes home did not accept */
  refused() {
    return this.store.read(['refused'], allRefused);
  }

  /** @param {string} key a person has settled this one */
  async settleRefused(key) {
    await this.store.write(['refused'], (tx) => forgetRefused(tx, key));
    this.changed([], [], ['refused']);
  }

  /**
   * A signed-in call to home, for what needs it there and then.
   * @param {string} path
   * @param {import('../sync/transport.js').CallOptions} [options]
   */
  api(path, options) {
    return this.transport.call(path, options);
  }

  /** @returns {Promise<Blob>} everything on this phone, to be kept as a file */
  saveEverything = () => saveEverything(this);

  /** @param {Blob} file that `saveEverything` made, here or on another phone */
  bringHome(file) {
    return bringHome(this, file);
  }

  /** Stop everything; the object is of no use afterwards. */
  close() {
    this.engine.stop();
    this.channel.close();
    this.store.close();
  }
}

/**
 * Open a household on this phone: everything in memory, the exchange with home running.
 * @param {Identity & {env?: Partial<Env>, sync?: boolean}} options `sync: false` leaves the
 *   exchange to explicit `syncNow()` calls
 * @returns {Promise<Household>}
 */
export async function openHousehold({ env, sync = true, ...identity }) {
  const household = new Household(identity, { ...realEnv(), ...env });
  await household.load();
  navigator.storage?.persist?.().catch(() => {});
  if (sync) household.engine.start();
  return household;
}
