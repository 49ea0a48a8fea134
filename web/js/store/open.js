import { openDB } from '../../vendor/idb/index.js';
import { CrestrailError } from '../basis/errors.js';
import { VERSION, databaseName, upgrade } from './schema.js';

/** @typedef {import('./schema.js').Db} Db */
/** @typedef {import('../../vendor/idb/index.js').IDBPTransaction<any, string[], 'readwrite'>} Tx */

/** `UnknownError` is what WebKit says of a page whose connection to the database it has lost. */
const LOST_HANDLE = ['InvalidStateError', 'AbortError', 'UnknownError'];

/**
 * A household's database, whose handle may be taken away at any time: browsers close it for a
 * page in the background. It is opened again and the transaction tried once more.
 */
export class Store {
  /** @param {string} household the household's id */
  constructor(household) {
    this.name = databaseName(household);
    /** @type {Promise<Db>|null} */
    this.handle = null;
    this.closed = false;
  }

  /** @returns {Promise<Db>} the open database */
  open() {
    if (this.closed) throw new Error('this household was closed');
    this.handle ??= openDB(this.name, VERSION, {
      upgrade,
      blocking: () => this.forget(),
      terminated: () => this.forget(),
    }).catch((error) => {
      this.handle = null;
      throw plain(error);
    });
    return this.handle;
  }

  /** Let go of the handle; the next use opens a new one. */
  forget() {
    const gone = this.handle;
    this.handle = null;
    gone?.then((db) => db.close()).catch(() => {});
  }

  close() {
    this.closed = true;
    this.forget();
  }

  /**
   * Run `work` in one transaction: all of it is kept, durably, or nothing is. Inside, wait for
   * nothing but the transaction's own requests, or it ends too early.
   * @template T
   * @param {string[]} stores
   * @param {(tx: Tx) => Promise<T>} work may be run twice when the handle was lost
   * @returns {Promise<T>}
   */
  write(stores, work) {
    return this.#run(stores, 'readwrite', work);
  }

  /**
   * @template T
   * @param {string[]} stores
   * @param {(tx: Tx) => Promise<T>} work
   * @returns {Promise<T>}
   */
  read(stores, work) {
    return this.#run(stores, 'readonly', work);
  }

  /**
   * @template T
   * @param {string[]} stores
   * @param {IDBTransactionMode} mode
   * @param {(tx: Tx) => Promise<T>} work
   * @returns {Promise<T>}
   */
  async #run(stores, mode, work) {
    try {
      return await this.#once(stores, mode, work);
    } catch (error) {
      if (!LOST_HANDLE.includes(/** @type {any} */ (error)?.name)) throw plain(error);
    }
    this.forget();
    try {
      return await this.#once(stores, mode, work);
    } catch (error) {
      throw plain(error);
    }
  }

  /**
   * @template T
   * @param {string[]} stores
   * @param {IDBTransactionMode} mode
   * @param {(tx: Tx) => Promise<T>} work
   * @returns {Promise<T>}
   */
  async #once(stores, mode, work) {
    const db = await this.open();
    const tx = /** @type {Tx} */ (db.transaction(stores, mode, { durability: 'strict' }));
    const done = tx.done;
    done.catch(() => {});
    /** @type {T} */
    let result;
    try {
      result = await work(tx);
    } catch (error) {
      abort(tx);
      const cause = await done.then(() => null, (e) => e);
      throw cause?.name === 'QuotaExceededError' ? cause : error;
    }
    await done;
    return result;
  }
}

/** @param {Tx} tx */
function abort(tx) {
  try {
    tx.abort();
  } catch {
    // it has ended already
  }
}

/**
 * The error as a person can act on it.
 * @param {any} error
 * @returns {any}
 */
function plain(error) {
  if (error?.name !== 'QuotaExceededError') return error;
  const full = new CrestrailError('disk_full');
  full.message = 'This phone is full. Free some space and save again; nothing typed is lost.';
  return full;
}
