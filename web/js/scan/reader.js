/**
 * From single frames to one clear reading: one decode in flight, a text counts when it was seen
 * twice, and is said once while it stays in view.
 */

/** Two sightings of the same text within this time make a reading, in milliseconds. */
export const TWICE_WITHIN_MS = 1200;
/** A text that was out of view for this long is said again when it comes back. */
export const FORGET_MS = 1500;

/**
 * @typedef {object} ReaderOptions
 * @property {(job: number) => Promise<string[]|null>} look decodes the current frame; null when
 *   there is no frame yet
 * @property {() => number} now milliseconds, never going back
 * @property {(text: string) => void} onText a text was read
 * @property {(count: number) => void} [onSeveral] several tags are in view and none is aimed at
 */

/** Judges the readings of one camera view. */
export class Reader {
  /** @param {ReaderOptions} options */
  constructor(options) {
    this.options = options;
    this.job = 0;
    this.busy = false;
    this.paused = false;
    /** @type {Map<string, number>} when each text was last seen */
    this.seen = new Map();
    /** @type {Map<string, number>} when each text that was said was last seen */
    this.said = new Map();
  }

  /**
   * Look once, unless a look is still under way or the reader is paused.
   * @returns {Promise<void>}
   */
  async tick() {
    if (this.busy || this.paused) return;
    this.busy = true;
    const job = ++this.job;
    try {
      const texts = await this.options.look(job);
      if (texts && job === this.job && !this.paused) this.judge(texts);
    } finally {
      this.busy = false;
    }
  }

  /**
   * What the texts in one frame mean, given the frames before.
   * @param {string[]} texts
   */
  judge(texts) {
    const now = this.options.now();
    this.forget(now);
    if (texts.length > 1) {
      this.options.onSeveral?.(texts.length);
      return;
    }
    const [text] = texts;
    if (text === undefined) return;
    const before = this.seen.get(text);
    this.seen.set(text, now);
    if (this.said.has(text)) {
      this.said.set(text, now);
    } else if (before !== undefined && now - before <= TWICE_WITHIN_MS) {
      this.said.set(text, now);
      this.options.onText(text);
    }
  }

  /** @param {number} now */
  forget(now) {
    for (const [text, at] of this.said) if (now - at > FORGET_MS) this.said.delete(text);
    for (const [text, at] of this.seen) if (now - at > FORGET_MS) this.seen.delete(text);
  }

  /** Stop looking; a look that is under way no longer counts. */
  pause() {
    this.paused = true;
    this.job += 1;
  }

  /** Look again; with `fresh`, what was said before may be said again. */
  resume(fresh = false) {
    this.paused = false;
    if (fresh) {
      this.seen.clear();
      this.said.clear();
    }
  }
}
