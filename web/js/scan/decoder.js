/**
 * Pictures to texts: by the browser's own detector where it reads QR, otherwise in a worker.
 * The browser's detector is quicker and spares the battery; the worker reads worn and dim tags.
 */
import { aimedAt } from './aim.js';

/** @typedef {import('./aim.js').Sighting} Sighting */

/** Side of the square that is read, in pixels: smaller would lose small tags. */
export const LOOK_PX = 720;
/** The longer side of a picked picture, in pixels. */
const PICKED_PX = 2000;

/**
 * @typedef {{rawValue: string, boundingBox: DOMRectReadOnly}} Detected
 * @typedef {{detect(source: CanvasImageSource): Promise<Detected[]>}} Detector
 * @typedef {{getSupportedFormats(): Promise<string[]>,
 *   new (options: {formats: string[]}): Detector}} DetectorClass
 */

/**
 * The browser's own detector of QR symbols, where there is one.
 * @returns {Promise<Detector|null>}
 */
async function nativeDetector() {
  const Native = /** @type {{BarcodeDetector?: DetectorClass}} */ (/** @type {unknown} */ (
    globalThis)).BarcodeDetector;
  if (!Native) return null;
  try {
    const formats = await Native.getSupportedFormats();
    return formats.includes('qr_code') ? new Native({ formats: ['qr_code'] }) : null;
  } catch {
    return null;
  }
}

/** Reads frames of a video and pictures; one canvas and one worker, made when first needed. */
export class Decoder {
  constructor() {
    this.canvas = document.createElement('canvas');
    /** @type {Worker|null} */
    this.worker = null;
    /** @type {Promise<Detector|null>|null} */
    this.native = null;
    /** @type {Map<number, (found: Sighting[]) => void>} */
    this.waiting = new Map();
    this.jobs = 0;
  }

  /**
   * The texts in the middle square of the current frame; several when it isn't clear which.
   * @param {HTMLVideoElement} video
   * @returns {Promise<string[]|null>} null when there is no frame yet
   */
  async readVideo(video) {
    const { videoWidth: width, videoHeight: height } = video;
    if (!width || video.readyState < HTMLMediaElement.HAVE_CURRENT_DATA) return null;
    const side = Math.min(width, height);
    const out = Math.min(side, LOOK_PX);
    if (this.canvas.width !== out) Object.assign(this.canvas, { width: out, height: out });
    const [left, top] = [(width - side) / 2, (height - side) / 2];
    drawingOn(this.canvas).drawImage(video, left, top, side, side, 0, 0, out, out);
    this.native ??= nativeDetector();
    const detector = await this.native;
    const seen = detector ? await this.#detect(detector) : [];
    return aimedAt(seen.length ? seen : await this.#ask(this.canvas, false), out);
  }

  /**
   * The texts in a picture that was picked.
   * @param {Blob} picture
   * @returns {Promise<string[]>}
   * @throws {Error} when it cannot be opened as a picture
   */
  async readPicture(picture) {
    const image = await createImageBitmap(picture);
    const scale = Math.min(1, PICKED_PX / Math.max(image.width, image.height));
    const [width, height] = [image.width * scale, image.height * scale].map(Math.round);
    const canvas = Object.assign(document.createElement('canvas'), { width, height });
    drawingOn(canvas).drawImage(image, 0, 0, width, height);
    image.close();
    const found = await this.#ask(canvas, true);
    return [...new Set(found.map((one) => one.text))];
  }

  /** Let the worker go. */
  close() {
    this.worker?.terminate();
    this.worker = null;
    for (const answer of this.waiting.values()) answer([]);
    this.waiting.clear();
  }

  /**
   * @param {Detector} detector
   * @returns {Promise<Sighting[]>}
   */
  async #detect(detector) {
    try {
      const found = await detector.detect(this.canvas);
      return found.map(({ rawValue: text, boundingBox: box }) => ({ text, box }));
    } catch {
      this.native = Promise.resolve(null); // it says that it can and cannot: don't ask again
      return [];
    }
  }

  /**
   * @param {HTMLCanvasElement} canvas
   * @param {boolean} thorough
   * @returns {Promise<Sighting[]>}
   */
  #ask(canvas, thorough) {
    const { width, height } = canvas;
    const { data } = drawingOn(canvas).getImageData(0, 0, width, height);
    const job = ++this.jobs;
    const worker = (this.worker ??= this.#hire());
    return new Promise((resolve) => {
      this.waiting.set(job, resolve);
      const pixels = data.buffer;
      worker.postMessage({ job, width, height, pixels, thorough }, [pixels]);
    });
  }

  #hire() {
    const worker = new Worker(new URL('./decode-worker.js', import.meta.url), { type: 'module' });
    worker.addEventListener('message', ({ data }) => {
      this.waiting.get(data.job)?.(data.found);
      this.waiting.delete(data.job);
    });
    worker.addEventListener('error', () => this.close());
    return worker;
  }
}

/** @param {HTMLCanvasElement} canvas */
function drawingOn(canvas) {
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (!context) throw new Error('this browser draws no pictures');
  return context;
}
