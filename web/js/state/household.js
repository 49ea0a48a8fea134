import { toText } from '../basis/clock.js';
import { newId, systemRandom } from '../basis/ids.js';
import { HybridClock } from '../records/stamps.js';
import { allMeta, metaOf, putMeta } from '../store/meta.js';
import { Store } from '../store/open.js';
import { allRefused, enqueue, forgetRefused, waiting } from '../store/outbox.js';
import { allRows, putRows, rowOf, rowsOf } from '../store/records.js';
import { erased, intentOf, isEmpty, undone, written } from '../store/writing.js';
import { Exchange } from '../sync/exchange.js';
import { SyncEngine } from '../sync/engine.js';
import { HouseClock } from '../sync/house-clock.js';
import { Transport } from '../sync/transport.js';
import { dayOf } from './days.js';
import { Memory } from './memory.js';
import { Pictures } from './pictures.js';

/** @typedef {import('../store/types.js').Row} Row */
/** @typedef {import('../store/types.js').Fields} Fields */
/** @typedef {import('../store/writing.js').Intent} Intent */
/** @typedef {import('./memory.js').Live} Live */
/** @typedef {{type: string, id?: string, fields: Fields}} Wish */
/** @typedef {{ids: string[], undo: () => Promise<any>}} Written */
/** @typedef {[type: string, id: string]} Key */

/**
 * What the household is to this phone; learned when it was paired.
 * @typedef {object} Identity
 * @property {string} id the household's
 * @property {string} device this phone's id
 * @property {string} [name] the household's
 * @property {string} [origin] home's canonical address
 * @property {boolean} [sample] an invented household
 */

/**
 * The world outside, passed in so that tests can hold it.
 * @typedef {object} Env
 * @property {() => number} wall the phone's own clock, ms
 * @property {() => number} random
 * @property {(bytes: number) => Uint8Array} randomBytes
 * @property {typeof globalThis.fetch} fetch
 * @property {(work: () => void, ms: number) => any} setTimeout
 * @property {(timer: any) => void} clearTimeout
 */

const SAVE_STORES = ['records', 'outbox', 'photos', 'meta'];

/** @returns {Env} */
function realEnv() {
  return {
    wall: () => Date.now(),
    random: () => Math.random(),
    randomBytes: systemRandom,
    fetch: (...args) => globalThis.fetch(...args),
    setTimeout: (work, ms) => globalThis.setTimeout(work, ms),
    clearTimeout: (timer) => globalThis.clearTimeout(timer),
  };
}

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
    const exchange = new Exchange(this);
    this.engine = new SyncEngine(this, exchange);
  }

  /** Read everything into memory. */
  async load() {
    const stores = ['records', 'meta', 'outbox', 'photos'];
    const { rows, meta, counts } = await this.store.read(stores, async (tx) => {
      const [rows, meta, counts] = await Promise.all([allRows(tx), allMeta(tx), waiting(tx)]);
      return { rows, meta, counts };
    });
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

  /** The moment and its day, as facts carry them. @returns {{at: string, on: string}} */
  when() {
    const now = this.now();
    return { at: toText(now), on: this.dayOf(now) };
  }

  /** @returns {Record<string, any>} the one setting record; `{}` before the first sync */
  get setting() {
    return this.memory.get('setting', this.id) ?? {};
  }

  /** @param {string} type */
  all(type) {
    return this.memory.all(type);
  }

  /**
   * @param {string} type
   * @param {string} id
   */
  get(type, id) {
    return this.memory.get(type, id);
  }

  /**
   * @param {string} type
   * @param {string} field
   * @param {any} value
   */
  where(type, field, value) {
    return this.memory.where(type, field, value);
  }

  /** @returns {import('../sync/status.js').SyncStatus} how things stand with home */
  get sync() {
    return this.engine.status.now;
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
    const ids = changes.map(({ id }) => id ?? this.newId());
    const intents = this.#intents(changes, ids);
    const wishes = await this.#save(intents.filter((intent) => !isEmpty(intent)));
    return { ids, undo: () => (wishes.length ? this.write(wishes) : Promise.resolve()) };
  }

  /**
   * Blank a record for good, here and everywhere; there is no undo.
   * @param {string} type
   * @param {string} id
   */
  async erase(type, id) {
    await this.#save([{ type, id, fields: {}, bases: {}, erase: true }]);
  }

  /**
   * @param {Wish[]} changes
   * @param {string[]} ids
   * @returns {Intent[]}
   */
  #intents(changes, ids) {
    /** @type {Map<string, Row>} what the earlier wishes of the same call made */
    const made = new Map();
    return changes.map(({ type, fields }, i) => {
      const id = ids[i];
      const seen = made.get(`${type} ${id}`) ?? this.memory.row(type, id);
      const intent = intentOf({ type, id, fields }, seen);
      made.set(`${type} ${id}`, written(intent, seen, { key: '', stamp: '-' }).row);
      return intent;
    });
  }

  /**
   * @param {Intent[]} intents
   * @returns {Promise<Wish[]>} what takes it back, last first
   */
  async #save(intents) {
    if (!intents.length) return [];
    const done = await this.store.write(SAVE_STORES, async (tx) => {
      const clock = new HybridClock(this.device, await metaOf(tx, 'clock'));
      const { wall, offset } = { wall: this.clock.wall(), offset: this.clock.offset };
      /** @type {Wish[]} */
      const wishes = [];
      for (const intent of intents) {
        const stored = await rowOf(tx, intent.type, intent.id);
        const stamp = clock.tick(wall + offset);
        const names = { key: newId(wall + offset, this.env.randomBytes), stamp };
        const one = intent.erase ? erased(intent, names) : written(intent, stored, names);
        await putRows(tx, [one.row]);
        await enqueue(tx, { change: one.change, previous: one.previous, wall, offset });
        wishes.unshift(undone(one.change, one.previous, !stored));
      }
      await putMeta(tx, 'clock', clock.last);
      const rows = await rowsOf(tx, intents.map(({ type, id }) => [type, id]));
      return { rows, wishes, counts: await waiting(tx) };
    });
    this.engine.status.update(done.counts);
    this.changed(done.rows);
    this.engine.saved();
    return done.wishes;
  }

  /**
   * Rows were committed (here, by sync): memory, screens and other tabs follow.
   * @param {Row[]} rows
   * @param {Key[]} [dropped] records that are stored no longer
   * @param {string[]} [also] what else changed: `book`, `refused`
   */
  changed(rows, dropped = [], also = []) {
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
    const stores = ['records', 'meta', 'outbox', 'photos'];
    const read = await this.store.read(stores, async (tx) => ({
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
    return this.store.write(['drafts'], async (tx) => {
      if (value === null) await tx.objectStore('drafts').delete(name);
      else await tx.objectStore('drafts').put(value, name);
    });
  }

  /** @param {string} name */
  async draft(name) {
    return (await this.store.read(['drafts'], (tx) => tx.objectStore('drafts').get(name))) ?? null;
  }

  /** @returns {Promise<boolean>} whether anything half-typed is kept */
  async hasDrafts() {
    return (await this.store.read(['drafts'], (tx) => tx.objectStore('drafts').count())) > 0;
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
