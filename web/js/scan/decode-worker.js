/**
 * Reads QR symbols away from the main thread, so that the picture never stutters.
 * Takes `{job, width, height, pixels, thorough}` and answers `{job, found}`.
 */
import { decodeQRBatch } from '../../vendor/qr/decode.js';

/** More effort finds tilted and worn tags; the limit is in milliseconds of retries. */
const LIMITS = { effort: 8, timeLimit: 120 };
const THOROUGH = { effort: 8, timeLimit: 1500 };

/**
 * @typedef {object} Job
 * @property {number} job
 * @property {number} width
 * @property {number} height
 * @property {ArrayBuffer} pixels RGBA, 8 bits each
 * @property {boolean} thorough take more time: a still picture has only this one chance
 */

/**
 * All symbols in a picture and where they are.
 * @param {Job} job
 * @returns {Promise<import('./aim.js').Sighting[]>}
 */
async function read({ width, height, pixels, thorough }) {
  /** @type {import('./aim.js').Sighting[]} */
  const found = [];
  await decodeQRBatch([{ width, height, data: new Uint8Array(pixels) }], {
    ...(thorough ? THOROUGH : LIMITS),
    pointsOnDetect: ({ boundingBox }, text) => {
      if (typeof text === 'string') found.push({ text, box: boundingBox });
    },
  });
  return found;
}

self.addEventListener('message', async (event) => {
  const job = /** @type {Job} */ (event.data);
  const found = await read(job).catch(() => []); // a frame that cannot be read holds no tag
  self.postMessage({ job: job.job, found });
});
