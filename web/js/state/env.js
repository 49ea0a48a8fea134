import { systemRandom } from '../basis/ids.js';
import { networkFetch } from '../sync/transport.js';

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

/** @returns {Env} the world as it is */
export function realEnv() {
  return {
    wall: () => Date.now(),
    random: () => Math.random(),
    randomBytes: systemRandom,
    fetch: networkFetch,
    setTimeout: (work, ms) => globalThis.setTimeout(work, ms),
    clearTimeout: (timer) => globalThis.clearTimeout(timer),
  };
}
