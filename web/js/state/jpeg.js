// Markers: ITU-T T.81, table B.1.
const MARK = 0xff;
const START = 0xd8;
const END = 0xd9;
const SCAN = 0xda;
const COMMENT = 0xfe;
const APP0 = 0xe0;
const APP15 = 0xef;

/** @type {Record<number, string>} application segments that describe the image itself */
const KEPT = { 0xe0: 'JFIF\0', 0xe2: 'ICC_PROFILE\0', 0xee: 'Adobe' };

/** @typedef {{marker: number, from: number, to: number}} Part */

/**
 * A JPEG without what is not image: Exif, XMP, captions, comments, pictures in pictures, and
 * whatever stands behind its end. Browsers may write Exif into a picture drawn on a canvas.
 * Not a single byte of the image changes.
 * @param {Uint8Array} bytes
 * @returns {Uint8Array} the same bytes when they are no whole JPEG
 */
export function imageOnly(bytes) {
  const parts = partsOf(bytes)?.filter((part) => isImage(bytes, part));
  if (!parts) return bytes;
  const out = new Uint8Array(parts.reduce((size, { from, to }) => size + to - from, 0));
  let at = 0;
  for (const { from, to } of parts) {
    out.set(bytes.subarray(from, to), at);
    at += to - from;
  }
  return out;
}

/**
 * @param {Uint8Array} bytes
 * @param {Part} part
 */
function isImage(bytes, { marker, from }) {
  if (marker === COMMENT) return false;
  if (marker < APP0 || marker > APP15) return true;
  const name = KEPT[marker];
  return Boolean(name) && [...name].every((sign, i) => bytes[from + 4 + i] === sign.charCodeAt(0));
}

/**
 * The segments, each scan with its data, without fill bytes; up to the end of the image.
 * @param {Uint8Array} bytes
 * @returns {Part[]|null} null when this is no JPEG or ends too early
 */
function partsOf(bytes) {
  if (bytes[0] !== MARK || bytes[1] !== START) return null;
  const parts = [{ marker: START, from: 0, to: 2 }];
  let at = 2;
  while (bytes[at] === MARK) {
    const marker = bytes[at + 1];
    if (marker === MARK) {
      at += 1;
      continue;
    }
    const to = marker === END ? at + 2 : endOf(bytes, at, marker);
    if (to > bytes.length) return null;
    parts.push({ marker, from: at, to });
    if (marker === END) return parts;
    at = to;
  }
  return null;
}

/**
 * Where a segment with a length ends; that of a scan with the data that follow it.
 * @param {Uint8Array} bytes
 * @param {number} at
 * @param {number} marker
 * @returns {number} beyond the bytes when there is no such segment
 */
function endOf(bytes, at, marker) {
  const length = bytes[at + 2] * 256 + bytes[at + 3];
  if (!(marker >= 0xc0) || isWithinScan(marker) || !(length >= 2)) return Infinity;
  let end = at + 2 + length;
  if (marker !== SCAN) return end;
  while (end < bytes.length && !(bytes[end] === MARK && !isWithinScan(bytes[end + 1]))) end += 1;
  return end;
}

/**
 * An escaped 0xFF or a restart.
 * @param {number} marker
 */
const isWithinScan = (marker) => marker === 0 || (marker >= 0xd0 && marker <= 0xd7);
