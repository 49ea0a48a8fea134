/**
 * What the exchange needs of the household it serves; the household itself is above it.
 *
 * @typedef {import('../store/types.js').Row} Row
 *
 * @typedef {object} SyncEnv
 * @property {() => number} wall the phone's own clock, ms
 * @property {() => number} random
 * @property {(bytes: number) => Uint8Array} randomBytes
 * @property {(work: () => void, ms: number) => any} setTimeout
 * @property {(timer: any) => void} clearTimeout
 *
 * @typedef {object} Port
 * @property {string} id the household's
 * @property {string} device
 * @property {any} book the price book, replaced by what home sends
 * @property {SyncEnv} env
 * @property {import('../store/open.js').Store} store
 * @property {import('./transport.js').Transport} transport
 * @property {import('./house-clock.js').HouseClock} clock
 * @property {{postMessage: (message: any) => void}} channel to the other tabs
 * @property {{send: (entry: import('../store/types.js').PhotoEntry) => Promise<void>,
 *   mark: (sha256: string, change: object) => Promise<void>}} pictures
 * @property {{recount: () => Promise<void>}} engine
 * @property {() => Date} now
 * @property {(moment: number) => string} dayOf
 * @property {(types: Set<string>) => void} notify
 * @property {(rows: Row[], dropped?: [string, string][], also?: string[]) => void} changed
 */

export {};
