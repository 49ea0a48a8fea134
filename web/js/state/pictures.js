import {
  PHOTO_STORES, dropPhoto, keepThumb, markPhoto, pictureOf, putPhoto, troubledPhotos,
} from '../store/photos.js';
import { writeMakingRoom } from '../store/room.js';
import { imageOnly } from './jpeg.js';

const LONG_EDGE = 1600;
const THUMB_EDGE = 320;
const QUALITY = 0.85;
const URLS_KEPT = 200;

/** @typedef {import('../store/open.js').Tx} Tx */
/** @typedef {{sha256: string, width: number, height: number}} SavedPhoto */
/** @typedef {{blob: Blob, width: number, height: number}} Drawn */

/** The household's pictures: made small here, kept here, fetched from home when they are not. */
export class Pictures {
  /**
   * @param {import('../store/open.js').Store} store
   * @param {import('../sync/transport.js').Transport} transport
   */
  constructor(store, transport) {
    this.store = store;
    this.transport = transport;
    /** @type {Map<string, string>} "sha256 thumb" -> object URL, oldest use first */
    this.urls = new Map();
  }

  /**
   * Redraw a picture as a JPEG without metadata, keep it and queue it for home.
   * @param {Blob} blob
   * @param {number} at ms
   * @returns {Promise<SavedPhoto>}
   */
  async save(blob, at) {
    const bitmap = await createImageBitmap(blob, { imageOrientation: 'from-image' });
    const picture = await redrawn(bitmap, LONG_EDGE);
    const thumb = await redrawn(bitmap, THUMB_EDGE);
    bitmap.close();
    const sha256 = await hashOf(picture.blob);
    const { width, height } = picture;
    const size = picture.blob.size;
    const entry = { sha256, width, height, size, at, state: /** @type {const} */ ('queued') };
    await this.#keep(entry, picture.blob, thumb.blob);
    return { sha256, width, height };
  }

  /**
   * Keep a picture that was made small elsewhere, and queue it.
   * @param {Blob} blob
   * @param {string} sha256 what its bytes have to hash to
   * @param {number} at ms
   * @returns {Promise<boolean>} false when it is here already, or is not what it is named for
   */
  async keepAsIs(blob, sha256, at) {
    if ((await this.#local(sha256, false)) || (await hashOf(blob)) !== sha256) return false;
    const bitmap = await createImageBitmap(blob);
    const { width, height } = bitmap;
    const thumb = await redrawn(bitmap, THUMB_EDGE);
    bitmap.close();
    const state = /** @type {const} */ ('queued');
    await this.#keep({ sha256, width, height, size: blob.size, at, state }, blob, thumb.blob);
    return true;
  }

  /**
   * @param {import('../store/types.js').PhotoEntry} entry
   * @param {Blob} blob
   * @param {Blob} thumb
   */
  async #keep(entry, blob, thumb) {
    const put = (/** @type {Tx} */ tx) => putPhoto(tx, entry, blob, thumb);
    await writeMakingRoom(this.store, PHOTO_STORES, put, 4 * blob.size);
  }

  /**
   * @param {string} sha256
   * @param {boolean} thumb
   * @returns {Promise<string|null>}
   */
  async url(sha256, thumb) {
    const name = `${sha256} ${thumb}`;
    const known = this.urls.get(name);
    if (known) {
      this.urls.delete(name);
      this.urls.set(name, known);
      return known;
    }
    const blob = (await this.#local(sha256, thumb)) ?? (await this.#fromHome(sha256, thumb));
    return blob ? this.#remember(name, blob) : null;
  }

  /**
   * @param {string} sha256
   * @param {boolean} thumb
   */
  #local(sha256, thumb) {
    return this.store.read(PHOTO_STORES, (tx) => pictureOf(tx, sha256, thumb));
  }

  /**
   * @param {string} sha256
   * @param {boolean} thumb
   * @returns {Promise<Blob|null>}
   */
  async #fromHome(sha256, thumb) {
    const path = `/api/photos/${sha256}${thumb ? '/thumb' : ''}`;
    try {
      const blob = await this.transport.call(path, { want: 'blob' });
      if (thumb) await this.store.write(PHOTO_STORES, (tx) => keepThumb(tx, sha256, blob));
      return blob;
    } catch {
      return null;
    }
  }

  /**
   * @param {string} name
   * @param {Blob} blob
   */
  #remember(name, blob) {
    const url = URL.createObjectURL(blob);
    this.urls.set(name, url);
    for (const [old, gone] of this.urls) {
      if (this.urls.size <= URLS_KEPT) break;
      this.urls.delete(old);
      URL.revokeObjectURL(gone);
    }
    return url;
  }

  /**
   * Send one queued picture home; the answer is what counts. One whose bytes are gone from this
   * phone is home only if home has it, else it is lost.
   * @param {import('../store/types.js').PhotoEntry} entry
   */
  async send({ sha256 }) {
    const blob = await this.#local(sha256, false);
    if (!blob) return this.mark(sha256, { state: (await this.#isAtHome(sha256)) ? 'home' : 'lost' });
    const options = { method: 'PUT', blob, timeout: 60_000 };
    await this.transport.call(`/api/photos/${sha256}`, options);
    await this.mark(sha256, { state: 'home', trouble: undefined });
  }

  /** @param {string} sha256 */
  async #isAtHome(sha256) {
    try {
      await this.transport.call(`/api/photos/${sha256}/thumb`, { want: 'blob' });
      return true;
    } catch (error) {
      if (/** @type {any} */ (error).status === 404) return false;
      throw error;
    }
  }

  /** @returns {Promise<import('../store/types.js').PhotoEntry[]>} refused by home, or lost */
  troubled() {
    return this.store.read(['photos'], troubledPhotos);
  }

  /** @param {string} sha256 of a picture that nothing is to be left of here */
  async forget(sha256) {
    this.release([sha256]);
    await this.store.write(PHOTO_STORES, (tx) => dropPhoto(tx, sha256));
  }

  /** @param {(string|undefined)[]} hashes of pictures that are not to be shown any more */
  release(hashes) {
    for (const [name, url] of this.urls) {
      if (!hashes.includes(name.split(' ')[0])) continue;
      this.urls.delete(name);
      URL.revokeObjectURL(url);
    }
  }

  /**
   * @param {string} sha256
   * @param {Partial<import('../store/types.js').PhotoEntry>} change
   */
  mark(sha256, change) {
    return this.store.write(PHOTO_STORES, (tx) => markPhoto(tx, sha256, change));
  }
}

/**
 * @param {ImageBitmap} bitmap
 * @param {number} edge the longest the longer side may be
 * @returns {Promise<Drawn>}
 */
async function redrawn(bitmap, edge) {
  const scale = Math.min(1, edge / Math.max(bitmap.width, bitmap.height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round(bitmap.width * scale));
  canvas.height = Math.max(1, Math.round(bitmap.height * scale));
  const paper = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
  paper.fillStyle = '#fff';
  paper.fillRect(0, 0, canvas.width, canvas.height);
  paper.imageSmoothingQuality = 'high';
  paper.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  const drawn = await new Promise((done) => canvas.toBlob(done, 'image/jpeg', QUALITY));
  if (!drawn) throw new Error('the picture could not be drawn');
  const bytes = imageOnly(new Uint8Array(await drawn.arrayBuffer()));
  const blob = new Blob([/** @type {BlobPart} */ (bytes)], { type: 'image/jpeg' });
  return { blob, width: canvas.width, height: canvas.height };
}

/**
 * @param {Blob} blob
 * @returns {Promise<string>} SHA-256 in hexadecimal
 */
async function hashOf(blob) {
  const digest = await crypto.subtle.digest('SHA-256', await blob.arrayBuffer());
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}
