/**
 * Pictures to texts: by the browser's own detector where it reads QR, otherwise in a worker.
 * The browser's detector is quicker and spares the battery; the worker reads worn and dim tags.
 */

/** Side of the square that is read, in pixels: smaller would lose small tags. */
export const LOOK_PX = 720;
/** Side of the aiming square as a share of the picture's shorter side. */
export const AIM = 0.68;
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

/**
 * Of several symbols the one that is aimed at, if one is.
 * @param {Detected[]} found
 * @param {number} side of the square picture
 * @returns {string[]}
 */
export function aimedAt(found, side) {
  const edge = ((1 - AIM) / 2) * side;
  const inside = found.filter(({ boundingBox: box }) => {
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    return x >= edge && x <= side - edge && y >= edge && y <= side - edge;
  });
  const chosen = inside.length ? inside : found;
  return [...new Set(chosen.map((one) => one.rawValue))];
}

/** Reads frames of a video and pictures; one canvas and one worker, made when first needed. */
export class Decoder {
  constructor() {
    this.canvas = document.createElement('canvas');
    /** @type {Worker|null} */
    this.worker = null;
    /** @type {Promise<Detector|null>|null} */
    this.native = null;
    /** @type {Map<number, (texts: string[]) => void>} */
    this.waiting = new Map();
    this.jobs = 0;
  }

  /**
   * The texts in the middle square of the current frame.
   * @param {HTMLVideoElement} video
   * @returns {Promise<string[]|null>} null when there is no frame yet
   */
  async readVideo(video) {
    const { videoWidth: width, videoHeight: height } = video;
    if (!width || video.readyState < HTMLMediaElement.HAVE_CURRENT_DATA) return null;
    const side = Math.min(width, height);
    const out = Math.min(side, LOOK_PX);
    this.#draw(video, out, out, [(width - side) / 2, (height - side) / 2, side, side]);
    this.native ??= nativeDetector();
    const detector = await this.native;
    const seen = detector ? await this.#detect(detector, out) : [];
    return seen.length ? seen : this.#ask(AIM, false);
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
    this.#draw(image, width, height, [0, 0, image.width, image.height]);
    image.close();
    return this.#ask(0, true);
  }

  /** Let the worker go. */
  close() {
    this.worker?.terminate();
    this.worker = null;
    for (const answer of this.waiting.values()) answer([]);
    this.waiting.clear();
  }

  /**
   * @param {CanvasImageSource} source
   * @param {number} width
   * @param {number} height
   * @param {[number, number, number, number]} from x, y, width, height in the source
   */
  #draw(source, width, height, from) {
    Object.assign(this.canvas, { width, height });
    this.#context().drawImage(source, ...from, 0, 0, width, height);
  }

  #context() {
    const context = this.canvas.getContext('2d', { willReadFrequently: true });
    if (!context) throw new Error('no canvas');
    return context;
  }

  /**
   * @param {Detector} detector
   * @param {number} side
   */
  async #detect(detector, side) {
    try {
      return aimedAt(await detector.detect(this.canvas), side);
    } catch {
      this.native = Promise.resolve(null); // it says that it can and cannot: don't ask again
      return [];
    }
  }

  /**
   * @param {number} aim
   * @param {boolean} thorough
   * @returns {Promise<string[]>}
   */
  #ask(aim, thorough) {
    const { width, height } = this.canvas;
    const { data } = this.#context().getImageData(0, 0, width, height);
    const job = ++this.jobs;
    const worker = (this.worker ??= this.#hire());
    return new Promise((resolve) => {
      this.waiting.set(job, resolve);
      const pixels = data.buffer;
      worker.postMessage({ job, width, height, pixels, aim, thorough }, [pixels]);
    });
  }

  #hire() {
    const worker = new Worker(new URL('./decode-worker.js', import.meta.url), { type: 'module' });
    worker.addEventListener('message', ({ data }) => {
      this.waiting.get(data.job)?.(data.texts);
      this.waiting.delete(data.job);
    });
    worker.addEventListener('error', () => this.close());
    return worker;
  }
}
