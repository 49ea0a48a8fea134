/**
 * How things stand with home, always to be seen.
 * @typedef {object} SyncStatus
 * @property {"home"|"sending"|"away"|"unpaired"|"revoked"|"trouble"} state
 * @property {number} unsent changes that are not yet at home
 * @property {number|null} oldestUnsentAt ms since 1970
 * @property {number} photosUnsent
 * @property {number} photosTroubled pictures that home refused, or whose bytes are lost
 * @property {number|null} lastHomeAt when home last took everything, ms since 1970
 * @property {string} message in words, what is wrong; '' when nothing is
 * @property {number} refused how many changes home did not accept in this run of the app
 */

/** The state, told to whoever draws it and to the other tabs. */
export class StatusBoard {
  /** @param {{notify: (types: Set<string>) => void, tell: (status: any) => void}} port */
  constructor({ notify, tell }) {
    this.notify = notify;
    this.tell = tell;
    /** @type {SyncStatus} */
    this.now = {
      state: 'away', unsent: 0, oldestUnsentAt: null, photosUnsent: 0, photosTroubled: 0,
      lastHomeAt: null, message: '', refused: 0,
    };
  }

  /** @param {Partial<SyncStatus>} news */
  update(news) {
    const before = JSON.stringify(this.now);
    this.now = { ...this.now, ...news };
    if (JSON.stringify(this.now) !== before) this.notify(new Set(['sync']));
  }

  /**
   * News of the exchange itself, which other tabs want as well.
   * @param {Partial<SyncStatus> & {offset?: number}} news
   */
  announce({ offset, ...news }) {
    this.update(news);
    this.tell({ ...news, offset });
  }
}
