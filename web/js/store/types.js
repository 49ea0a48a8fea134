/**
 * The shapes that are kept on the phone.
 *
 * @typedef {Record<string, any>} Fields
 * @typedef {Record<string, string>} Stamps stamp group -> stamp
 *
 * @typedef {object} Row a record as it is stored and synced
 * @property {string} type
 * @property {string} id
 * @property {Fields} fields
 * @property {Stamps} stamps
 * @property {boolean} [erased]
 *
 * @typedef {object} Change what is sent home, once it is acknowledged it is dropped
 * @property {string} key UUIDv7 made before the first try
 * @property {string} type
 * @property {string} id
 * @property {Fields} [fields]
 * @property {Stamps} stamps
 * @property {Record<string, string|null>} [bases]
 * @property {boolean} [erase]
 *
 * @typedef {object} OutboxEntry a change waiting on this phone
 * @property {number} seq place in the order of writing
 * @property {Change} change
 * @property {{fields: Fields, stamps: Stamps}} previous the groups as they were before
 * @property {number} wall the device's own clock when it was written, ms
 * @property {number} offset what was then added to it to get the household's time, ms
 * @property {boolean} [echo] not a new write: home lacks what this phone has
 * @property {boolean} [alone] home refused it joined with others: it is sent by itself
 *
 * @typedef {object} RefusedEntry a change that home did not accept, kept until a person settles it
 * @property {string} key
 * @property {Change} change
 * @property {string} code
 * @property {string} message
 * @property {any[]} details
 * @property {string} at
 *
 * @typedef {object} PhotoEntry
 * @property {string} sha256
 * @property {number} width
 * @property {number} height
 * @property {number} size bytes
 * @property {"queued"|"home"|"refused"|"lost"} state refused: home will not take it; lost: its bytes
 *   are neither here nor at home
 * @property {number} at
 * @property {string} [trouble] why home refused it
 */

export {};
