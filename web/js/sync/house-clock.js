/** Differences smaller than this are not corrected: they are the network's, not the clock's. */
const IGNORED_MS = 2_000;
/** How far home's clock may be behind what home has already written before it is disbelieved. */
const BEHIND_MS = 10 * 60_000;

/**
 * The household's time on a phone whose own clock may be wrong: what home taught it is added.
 */
export class HouseClock {
  /**
   * @param {() => number} wall the phone's own clock, ms
   * @param {number} offset what is added to it, ms
   */
  constructor(wall, offset = 0) {
    this.wall = wall;
    this.offset = offset;
  }

  /** @returns {number} ms */
  now() {
    return this.wall() + this.offset;
  }

  /**
   * The offset that an answer of home teaches.
   * @param {{home: number, sent: number, got: number, latest: number}} reading home's clock;
   *   the phone's when it asked and when it had the answer; the latest time home wrote, ms
   * @returns {number|null} null when home's own clock is plainly behind
   */
  taught({ home, sent, got, latest }) {
    if (home + BEHIND_MS < latest) return null;
    const offset = Math.round(home - (sent + got) / 2);
    const uncertain = IGNORED_MS + (got - sent) / 2;
    if (Math.abs(offset) < uncertain) return 0;
    return Math.abs(offset - this.offset) < uncertain ? this.offset : offset;
  }
}
