/**
 * Reads QR symbols away from the main thread, so that the picture never stutters.
 * Takes `{job, width, height, pixels, aim, thorough}` and answers `{job, texts}`: the tag in the
 * aiming square alone where there is one, otherwise every tag in the picture.
 */
import { decodeQR, decodeQRBatch } from '../../vendor/qr/decode.js';

/** More effort finds tilted and worn tags; the limit is in milliseconds of retries. */
const LIMITS = { effort: 8, timeLimit: 120 };
const THOROUGH = { effort: 8, timeLimit: 1500 };

/**
 * @typedef {object} Job
 * @property {number} job
 * @property {number} width
 * @property {number} height
 * @property {ArrayBuffer} pixels RGBA, 8 bits each
 * @property {number} aim side of the aiming square as a share of the shorter side; 0 for none
 * @property {boolean} [thorough] take more time: a still picture has only this one chance
 */

/** @typedef {{width: number, height: number, data: Uint8Array}} Picture */

/**
 * The square in the middle, copied row by row.
 * @param {Picture} picture
 * @param {number} share
 * @returns {Picture}
 */
function middle(picture, share) {
  const side = Math.round(Math.min(picture.width, picture.height) * share);
  const left = (picture.width - side) >> 1;
  const top = (picture.height - side) >> 1;
  const data = new Uint8Array(side * side * 4);
  for (let y = 0; y < side; y += 1) {
    const start = ((top + y) * picture.width + left) * 4;
    data.set(picture.data.subarray(start, start + side * 4), y * side * 4);
  }
  return { width: side, height: side, data };
}

/**
 * @param {Picture} picture
 * @param {{effort: number, timeLimit: number}} limits
 * @returns {string|null}
 */
function readOne(picture, limits) {
  try {
    return decodeQR(picture, limits);
  } catch {
    return null; // no symbol found
  }
}

/**
 * @param {Job} job
 * @returns {Promise<string[]>}
 */
async function read(job) {
  const limits = job.thorough ? THOROUGH : LIMITS;
  const picture = { width: job.width, height: job.height, data: new Uint8Array(job.pixels) };
  if (job.aim > 0) {
    const aimed = readOne(middle(picture, job.aim), limits);
    if (aimed !== null) return [aimed];
  }
  const [found] = await decodeQRBatch([picture], limits);
  const texts = found.filter((one) => typeof one === 'string');
  return [...new Set(/** @type {string[]} */ (texts))];
}

self.addEventListener('message', async (event) => {
  const job = /** @type {Job} */ (event.data);
  let texts = /** @type {string[]} */ ([]);
  try {
    texts = await read(job);
  } finally {
    self.postMessage({ job: job.job, texts });
  }
});
