/**
 * The object stores of a household's database, as a ladder of upgrades: a step is never
 * changed once released, a new version adds one.
 */

/** @typedef {import('../../vendor/idb/index.js').IDBPDatabase<any>} Db */

/** @type {((db: Db) => void)[]} */
const LADDER = [
  (db) => {
    db.createObjectStore('records', { keyPath: ['type', 'id'] });
    const outbox = db.createObjectStore('outbox', { keyPath: 'seq', autoIncrement: true });
    outbox.createIndex('record', ['change.type', 'change.id']);
    db.createObjectStore('refused', { keyPath: 'key' });
    db.createObjectStore('photos', { keyPath: 'sha256' }).createIndex('state', 'state');
    db.createObjectStore('photo_blobs');
    db.createObjectStore('photo_thumbs');
    db.createObjectStore('drafts');
    db.createObjectStore('meta');
    db.createObjectStore('home_stamps', { keyPath: ['type', 'id'] });
  },
];

/** The version that the newest rung leads to. */
export const VERSION = LADDER.length;

/**
 * Climb from an older version to the newest.
 * @param {Db} db
 * @param {number} from 0 for a database that is new
 */
export function upgrade(db, from) {
  for (const rung of LADDER.slice(from)) rung(db);
}

/** @param {string} household the household's id */
export const databaseName = (household) => `crestrail-${household}`;
