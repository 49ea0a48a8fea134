/** @typedef {import('./open.js').Tx} Tx */
/** @typedef {import('./types.js').PhotoEntry} PhotoEntry */
/** @typedef {import('./types.js').Row} Row */

/** The stores a photo lives in; never together with records, so it can't hold a price back. */
export const PHOTO_STORES = ['photos', 'photo_blobs', 'photo_thumbs'];

/**
 * Keep a picture and queue it. A picture that is here already is left as it is.
 * @param {Tx} tx
 * @param {PhotoEntry} entry
 * @param {Blob} blob
 * @param {Blob} thumb
 */
export async function putPhoto(tx, entry, blob, thumb) {
  if (await tx.objectStore('photos').get(entry.sha256)) return;
  await tx.objectStore('photos').put(entry);
  await tx.objectStore('photo_blobs').put(blob, entry.sha256);
  await tx.objectStore('photo_thumbs').put(thumb, entry.sha256);
}

/**
 * @param {Tx} tx
 * @param {string} sha256
 * @param {boolean} thumb
 * @returns {Promise<Blob|undefined>}
 */
export const pictureOf = (tx, sha256, thumb) =>
  tx.objectStore(thumb ? 'photo_thumbs' : 'photo_blobs').get(sha256);

/**
 * @param {Tx} tx
 * @param {string} sha256
 * @param {Blob} blob
 */
export const keepThumb = (tx, sha256, blob) => tx.objectStore('photo_thumbs').put(blob, sha256);

/**
 * @param {Tx} tx
 * @returns {Promise<PhotoEntry[]>} what is not yet at home, oldest first
 */
export async function queuedPhotos(tx) {
  const found = await tx.objectStore('photos').index('state').getAll('queued');
  return found.sort((a, b) => a.at - b.at);
}

/**
 * @param {Tx} tx
 * @returns {Promise<PhotoEntry[]>}
 */
export const allPhotos = (tx) => tx.objectStore('photos').getAll();

/**
 * @param {Tx} tx
 * @param {string} sha256
 * @param {Partial<PhotoEntry>} change
 */
export async function markPhoto(tx, sha256, change) {
  const entry = await tx.objectStore('photos').get(sha256);
  if (entry) await tx.objectStore('photos').put({ ...entry, ...change });
}

/**
 * @param {Tx} tx
 * @returns {Promise<PhotoEntry[]>} what home refused, and what is lost
 */
export async function troubledPhotos(tx) {
  const states = tx.objectStore('photos').index('state');
  const [refused, lost] = await Promise.all([states.getAll('refused'), states.getAll('lost')]);
  return [...refused, ...lost].sort((a, b) => a.at - b.at);
}

/**
 * Nothing of a picture is left on this phone.
 * @param {Tx} tx
 * @param {string} sha256
 */
export async function dropPhoto(tx, sha256) {
  await Promise.all(PHOTO_STORES.map((name) => tx.objectStore(name).delete(sha256)));
}

/**
 * A photo was erased: its bytes go with it, unless another photo shows the same picture. Needs
 * records and all photo stores in the transaction, after the erased record was stored.
 * @param {Tx} tx
 * @param {Row|undefined} before the record as it was
 */
export async function dropErased(tx, before) {
  const sha256 = before?.type === 'photo' ? before.fields.sha256 : undefined;
  if (!sha256) return;
  const photos = /** @type {Row[]} */ (await tx.objectStore('records')
    .getAll(IDBKeyRange.bound(['photo'], ['photo', []])));
  if (photos.some((row) => !row.erased && row.fields.sha256 === sha256)) return;
  await dropPhoto(tx, sha256);
}

/**
 * Home may have lost pictures (it was restored): send again all that this phone holds.
 * @param {Tx} tx
 */
export async function requeuePhotos(tx) {
  const held = new Set(await tx.objectStore('photo_blobs').getAllKeys());
  for (const entry of await allPhotos(tx)) {
    if (held.has(entry.sha256)) await markPhoto(tx, entry.sha256, { state: 'queued' });
  }
}

/**
 * Give up the oldest originals that are safely at home; their thumbnails stay.
 * @param {Tx} tx
 * @param {number} bytes how much room is wanted
 * @returns {Promise<number>} how many bytes were given up
 */
export async function makeRoom(tx, bytes) {
  const held = new Set(await tx.objectStore('photo_blobs').getAllKeys());
  const home = await tx.objectStore('photos').index('state').getAll('home');
  let freed = 0;
  for (const entry of home.sort((a, b) => a.at - b.at)) {
    if (freed >= bytes) break;
    if (!held.has(entry.sha256)) continue;
    await tx.objectStore('photo_blobs').delete(entry.sha256);
    freed += entry.size;
  }
  return freed;
}
