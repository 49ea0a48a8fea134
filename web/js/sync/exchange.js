import { CrestrailError } from '../basis/errors.js';
import { allMeta, metaOf, putMeta } from '../store/meta.js';
import { oldest } from '../store/outbox.js';
import { writeMakingRoom } from '../store/room.js';
import { applyAnswer, setAsideAlone } from './apply.js';
import { nextPage } from './page.js';
import { enqueueMissing, startReconcile } from './reconcile.js';
import { mendClocks } from './restamp.js';
import { Away } from './transport.js';

/** @typedef {import('./port.js').Port} Household */
/** @typedef {import('./page.js').Sent} Sent */

const PROTOCOL = 1;
const HELLO_EVERY_MS = 5 * 60_000;
const BYTES = { least: 16_000, first: 128_000, most: 1_000_000 };
const QUICK_MS = 2_000;
const MENDINGS = 2;
/** Refusals that are about the call or the sign-in, not about a change in it. */
const NOT_ABOUT_A_CHANGE = [401, 403, 404, 405, 408, 421, 429];
const EXCHANGE_STORES = [
  'records', 'outbox', 'refused', 'meta', 'home_stamps', 'photos', 'photo_blobs', 'photo_thumbs',
];

/** Pushing and pulling: what is asked, what is stored of the answer. */
export class Exchange {
  /** @param {Household} household */
  constructor(household) {
    this.household = household;
    this.bytes = BYTES.first;
    this.changes = 500;
    this.helloAt = -Infinity;
  }

  /**
   * Until home has everything and this phone has everything of home's.
   * @returns {Promise<{note: string, at: number}>} a note in words; when it was finished
   * @throws {Away} nobody answered; {@link CrestrailError} home will not talk to this phone
   */
  async round() {
    if (Math.abs(this.household.env.wall() - this.helloAt) > HELLO_EVERY_MS) await this.#hello();
    let mendings = 0;
    for (;;) {
      try {
        if (!(await this.#step())) break;
      } catch (error) {
        if (!(error instanceof CrestrailError) || error.code !== 'clock_ahead') throw error;
        if ((mendings += 1) > MENDINGS) throw error;
        await this.#mend(clockIn(error), true);
      }
    }
    const { meta } = await this.#finish();
    return { note: meta.behind ? 'The clock of the home computer is behind.' : '', at: meta.at };
  }

  /** Who is there? Nothing is sent before the household's own home has said so. */
  async #hello() {
    this.helloAt = -Infinity;
    const sent = this.household.env.wall();
    const hello = await this.household.transport.call('/api/hello');
    const got = this.household.env.wall();
    if (hello.app !== 'crestrail') throw new Away('what answered was not home');
    if (hello.household && hello.household !== this.household.id) {
      throw new CrestrailError('other_household');
    }
    await this.#mend({ home: hello.clock, sent, got }, false);
    await this.household.store.write(['meta'], (tx) =>
      putMeta(tx, 'certificateEnds', hello.certificate_ends ?? null));
    this.helloAt = got;
  }

  /**
   * Take over what home taught about the clock, for the edits that still wait as well.
   * @param {{home: number, sent?: number, got?: number}} reading
   * @param {boolean} refused home has just refused a stamp
   */
  async #mend({ home, sent, got }, refused) {
    const { clock, device, env } = this.household;
    const now = env.wall();
    const done = await this.household.store.write(EXCHANGE_STORES, async (tx) => {
      const latest = (await metaOf(tx, 'homeLatestMs')) ?? 0;
      const taught = clock.taught({ home, sent: sent ?? now, got: got ?? now, latest });
      if (taught === null) return null;
      await putMeta(tx, 'offset', taught);
      const dayOf = (/** @type {number} */ ms) => this.household.dayOf(ms);
      const to = { offset: taught, home, device, refused, randomBytes: env.randomBytes, dayOf };
      return { offset: taught, rows: await mendClocks(tx, to) };
    });
    if (!done) return;
    clock.offset = done.offset;
    if (done.rows.length) this.household.changed(done.rows);
  }

  /**
   * One request: the next page of the outbox, and the next page of home's.
   * @returns {Promise<boolean>} whether there is more to do
   */
  async #step() {
    const { entries, meta } = await this.household.store.read(['outbox', 'meta'], async (tx) => ({
      entries: await oldest(tx, this.changes),
      meta: await allMeta(tx),
    }));
    const limits = { bytes: this.bytes, changes: this.changes };
    const page = meta.reconcile ? [] : nextPage(entries, limits);
    const answer = await this.#ask(page, meta.cursor ?? null);
    if (!answer) return true;
    if (answer.household !== this.household.id) throw new Away('another household answered');
    return this.#take(page, answer);
  }

  /**
   * @param {Sent[]} page
   * @param {string|null} cursor
   * @returns {Promise<any>} null when the page was refused and is to be tried in smaller parts
   */
  async #ask(page, cursor) {
    const { env, id, transport } = this.household;
    const started = env.wall();
    const json = {
      protocol: PROTOCOL, household: id, device: this.household.device, cursor, clock: started,
      changes: page.map((sent) => sent.change), limit: 1000,
    };
    try {
      const answer = await transport.call('/api/sync', { json, timeout: 30_000 });
      const quick = env.wall() - started < QUICK_MS;
      if (quick) this.bytes = Math.min(BYTES.most, this.bytes * 2);
      return answer;
    } catch (error) {
      this.bytes = Math.max(BYTES.least, this.bytes >> 1);
      if (!(error instanceof CrestrailError)) throw error;
      return this.#smaller(error, page);
    }
  }

  /**
   * A whole page was refused: find the change it is about by halving, and set that one aside.
   * @param {CrestrailError} error
   * @param {Sent[]} page
   * @returns {Promise<null>}
   */
  async #smaller(error, page) {
    const { status, code } = error;
    const general = NOT_ABOUT_A_CHANGE.includes(status) || status >= 500;
    if (general || code === 'clock_ahead' || code === 'other_household') throw error;
    if (!page.length) throw error;
    if (page.length > 1) {
      this.changes = Math.max(1, page.length >> 1);
      return null;
    }
    const at = this.household.now().toISOString();
    const done = await this.household.store.write(EXCHANGE_STORES, (tx) =>
      setAsideAlone(tx, page[0], reasonOf(error, at)));
    this.household.changed(done.rows, done.dropped, ['refused']);
    return null;
  }

  /**
   * Store outcomes, rows and cursor together, then show them.
   * @param {Sent[]} page
   * @param {any} answer
   * @returns {Promise<boolean>} whether there is more to do
   */
  async #take(page, answer) {
    const { env, store, device } = this.household;
    const at = this.household.now().toISOString();
    const done = await writeMakingRoom(store, EXCHANGE_STORES, async (tx) => {
      if (answer.reset) await startReconcile(tx);
      const applied = await applyAnswer(tx, page, answer, { device, at });
      const names = { wall: env.wall(), offset: this.household.clock.offset };
      const ready = applied.reconcile && !answer.more && !answer.reset;
      if (ready) await enqueueMissing(tx, { ...names, randomBytes: env.randomBytes });
      return { ...applied, left: await tx.objectStore('outbox').count() };
    });
    this.changes = 500;
    if (done.rows.length + done.dropped.length + done.refused) {
      this.household.changed(done.rows, done.dropped, done.refused ? ['refused'] : []);
    }
    this.answer = answer;
    await this.household.engine.recount();
    return answer.reset || answer.more || done.left > 0;
  }

  /** The price book, and the time that everything was at home. */
  async #finish() {
    const { answer } = this;
    const { household } = this;
    const book = await this.#newBook(answer?.book);
    const at = household.clock.now();
    await household.store.write(['meta'], async (tx) => {
      if (book) await putMeta(tx, 'book', book);
      await putMeta(tx, 'lastHomeAt', at);
    });
    if (book) {
      household.book = book;
      household.changed([], [], ['book']);
    }
    return { meta: { at, behind: answer?.behind === true } };
  }

  /** @param {string|undefined} version */
  async #newBook(version) {
    if (!version || version === this.household.book?.version) return null;
    return this.household.transport.call('/api/price-book');
  }
}

/**
 * @param {CrestrailError} error
 * @returns {{home: number}}
 */
function clockIn(error) {
  const details = /** @type {{clock?: unknown}[]} */ (error.details);
  const home = details.map((detail) => Number(detail.clock)).find(Number.isFinite);
  if (home === undefined) throw error;
  return { home };
}

/**
 * @param {CrestrailError} error
 * @param {string} at
 */
const reasonOf = ({ code, message, details }, at) => ({ code, message, details, at });
