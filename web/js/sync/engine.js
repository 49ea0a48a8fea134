import { CrestrailError } from '../basis/errors.js';
import { metaOf } from '../store/meta.js';
import { queuedPhotos } from '../store/photos.js';
import { waiting } from '../store/outbox.js';
import { delayAfter } from './backoff.js';
import { certificateWords } from './certificate.js';
import { StatusBoard } from './status.js';
import { Away } from './transport.js';
import { listen } from './triggers.js';

/** @typedef {import('./port.js').Port} Household */
/** @typedef {import('./exchange.js').Exchange} Exchange */

const QUIET_MS = 60_000;
const AFTER_SAVE_MS = 200;
const SIGN_IN = ['not_paired', 'revoked'];
/** Refusals that pass by themselves: too slow, too many calls. */
const PASSING = [408, 429];

/** When to talk to home, one tab at a time, and what came of it in words. */
export class SyncEngine {
  /**
   * @param {Household} household
   * @param {Exchange} exchange
   */
  constructor(household, exchange) {
    this.household = household;
    this.exchange = exchange;
    this.failures = 0;
    this.running = false;
    /** @type {Promise<void>|null} */
    this.round = null;
    this.wanted = false;
    /** @type {any} */
    this.timer = null;
    this.stopped = new AbortController();
    this.status = new StatusBoard({
      notify: (types) => household.notify(types),
      tell: (status) => household.channel.postMessage({ status }),
    });
  }

  /** Begin: at once, and on every event that may mean that home can be reached. */
  start() {
    this.running = true;
    listen(this.stopped.signal, () => this.#soon(0));
    this.#soon(0);
  }

  stop() {
    this.running = false;
    this.stopped.abort();
    this.household.env.clearTimeout(this.timer);
  }

  /** Something was saved on this phone. */
  saved() {
    this.#soon(AFTER_SAVE_MS);
  }

  /** @param {number} ms */
  #soon(ms) {
    if (!this.running) return;
    const { clearTimeout, setTimeout } = this.household.env;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.syncNow(), ms);
  }

  /**
   * One full round with home. A call while a round runs waits for a further one, so that what
   * was saved before the call is sent when it resolves. Never rejects: see `status`.
   * @returns {Promise<void>}
   */
  syncNow() {
    if (this.round) {
      this.wanted = true;
      return this.round;
    }
    this.round = this.#rounds().finally(() => {
      this.round = null;
    });
    return this.round;
  }

  async #rounds() {
    try {
      do {
        this.wanted = false;
        await this.#underLock();
      } while (this.wanted && !this.failures && !this.stopped.signal.aborted);
    } catch (error) {
      // even the phone's own store failed: said, and tried again like everything else
      this.failures = Math.max(1, this.failures);
      this.status.update(wordsFor(error));
    }
    this.#soon(this.failures ? delayAfter(this.failures, this.household.env.random) : QUIET_MS);
  }

  async #underLock() {
    const name = `crestrail-sync-${this.household.id}`;
    const { signal } = this.stopped;
    try {
      if (!navigator.locks) return await this.#once();
      await navigator.locks.request(name, { signal }, () => this.#once());
    } catch (error) {
      if (!signal.aborted) throw error;
    }
  }

  async #once() {
    this.status.update({ state: 'sending' });
    try {
      const done = await this.exchange.round();
      await this.#sendPhotos();
      this.failures = 0;
      await this.recount();
      const told = { state: /** @type {const} */ ('home'), message: done.note };
      this.status.announce({ ...told, lastHomeAt: done.at, offset: this.household.clock.offset });
    } catch (error) {
      this.failures += 1;
      await this.recount();
      const away = error instanceof Away;
      this.status.announce(away ? await this.#wordsForAway() : wordsFor(error));
    }
  }

  /** @returns {Promise<{state: "away", message: string}>} */
  async #wordsForAway() {
    const { store } = this.household;
    const ends = await store.read(['meta'], (tx) => metaOf(tx, 'certificateEnds'));
    return { state: 'away', message: certificateWords(ends, this.household.now()) };
  }

  /**
   * Pictures go after the records. One that home refuses is set aside with the reason, until a
   * person has it tried again; it does not hold up others.
   */
  async #sendPhotos() {
    const { store, pictures } = this.household;
    for (const entry of await store.read(['photos'], queuedPhotos)) {
      try {
        await pictures.send(entry);
      } catch (error) {
        if (!(error instanceof CrestrailError) || SIGN_IN.includes(error.code)) throw error;
        const again = error.status >= 500 || PASSING.includes(error.status);
        const trouble = error.message;
        await pictures.mark(entry.sha256, again ? { trouble } : { trouble, state: 'refused' });
      }
      await this.recount();
    }
  }

  /** Count again what is not at home. */
  async recount() {
    const { store } = this.household;
    this.status.update(await store.read(['outbox', 'photos'], waiting));
  }
}

/**
 * @param {unknown} error
 * @returns {{state: "unpaired"|"revoked"|"trouble", message: string}}
 */
function wordsFor(error) {
  if (error instanceof CrestrailError && error.code === 'not_paired') {
    return { state: 'unpaired', message: error.message };
  }
  if (error instanceof CrestrailError && error.code === 'revoked') {
    return { state: 'revoked', message: error.message };
  }
  const message = error instanceof Error ? error.message : String(error);
  return { state: 'trouble', message };
}
