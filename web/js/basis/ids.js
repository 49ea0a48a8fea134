/**
 * Names for things, made without asking anybody: record ids, device ids, tag codes; mirrors
 * basis/ids.py. Random bytes and the time are passed in.
 */

import { CrestrailError } from './errors.js';

/** @typedef {(count: number) => Uint8Array} RandomBytes gives so many random bytes */

/** The 32 symbols of Crockford's base 32 (crockford.com/base32.html): no I, L, O, U. */
export const SYMBOLS = '0123456789ABCDEFGHJKMNPQRSTVWXYZ';

/** Symbols for a number modulo 37; the last five cannot be read aloud and are never used. */
export const CHECK_SYMBOLS = `${SYMBOLS}*~$=U`;

export const RANDOM_SYMBOLS = 8;
const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/;
const DEVICE = /^[0-9a-f]{16}$/;
const SEPARATORS = /[-\u2010-\u2015\u2212 \t\r\n\u00a0]/g;

/**
 * The device's own source of random bytes.
 * @param {number} count
 * @returns {Uint8Array}
 */
export function systemRandom(count) {
  return globalThis.crypto.getRandomValues(new Uint8Array(count));
}

/** @param {Uint8Array} bytes */
function hex(bytes) {
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
}

/**
 * A UUID of version 7 (RFC 9562 section 5.7): 48 bits of milliseconds, 74 random bits.
 * @param {number} nowMs
 * @param {RandomBytes} randomBytes
 * @returns {string}
 */
export function newId(nowMs, randomBytes) {
  const tail = Uint8Array.from(randomBytes(10));
  tail[0] = 0x70 | (tail[0] & 0x0f);
  tail[2] = 0x80 | (tail[2] & 0x3f);
  const text = Math.floor(nowMs).toString(16).padStart(12, '0') + hex(tail);
  return [
    text.slice(0, 8), text.slice(8, 12), text.slice(12, 16), text.slice(16, 20), text.slice(20),
  ].join('-');
}

/**
 * Whether it is a UUID in lower case, of whatever version.
 * @param {unknown} value
 * @returns {value is string}
 */
export function isId(value) {
  return typeof value === 'string' && UUID.test(value);
}

/**
 * A device's id: 16 lower-case hexadecimal digits.
 * @param {RandomBytes} randomBytes
 * @returns {string}
 */
export function newDeviceId(randomBytes) {
  return hex(randomBytes(8));
}

/**
 * Whether it is a device's id.
 * @param {unknown} value
 * @returns {value is string}
 */
export function isDeviceId(value) {
  return typeof value === 'string' && DEVICE.test(value);
}

/**
 * A number in Crockford's base 32, with leading zeros up to `width` symbols.
 * @param {number | bigint} number
 * @param {number} [width]
 * @returns {string}
 */
export function encode(number, width = 1) {
  let rest = BigInt(number);
  let text = '';
  while (rest > 0n || !text) {
    text = SYMBOLS[Number(rest % 32n)] + text;
    rest /= 32n;
  }
  return text.padStart(width, '0');
}

/**
 * The number of base 32 symbols in upper case; RangeError for any other character.
 * @param {string} symbols
 * @returns {bigint}
 */
export function decode(symbols) {
  let number = 0n;
  for (const symbol of symbols) {
    const digit = SYMBOLS.indexOf(symbol);
    if (digit < 0) throw new RangeError(`${symbol} is not a base 32 symbol`);
    number = number * 32n + BigInt(digit);
  }
  return number;
}

/**
 * The check symbol of base 32 symbols: their number modulo 37.
 * @param {string} symbols
 * @returns {string}
 */
export function checkSymbol(symbols) {
  return CHECK_SYMBOLS[Number(decode(symbols) % 37n)];
}

/**
 * So many random base 32 symbols, each equally likely.
 * @param {RandomBytes} randomBytes
 * @param {number} count
 * @returns {string}
 */
export function randomSymbols(randomBytes, count) {
  return Array.from(randomBytes(count), (byte) => SYMBOLS[byte & 31]).join('');
}

/**
 * A tag code: 8 random symbols and their check symbol. Codes whose check symbol is one of
 * `*~$=U` are drawn again (5 in 37).
 * @param {RandomBytes} randomBytes
 * @returns {string}
 */
export function newTagCode(randomBytes) {
  for (;;) {
    const symbols = randomSymbols(randomBytes, RANDOM_SYMBOLS);
    const check = checkSymbol(symbols);
    if (SYMBOLS.includes(check)) return symbols + check;
  }
}

/**
 * Whether it is a tag code as it is kept: upper case, no hyphens, right check symbol.
 * @param {unknown} value
 * @returns {value is string}
 */
export function isTagCode(value) {
  if (typeof value !== 'string' || value.length !== RANDOM_SYMBOLS + 1) return false;
  const isWritten = [...value].every((symbol) => SYMBOLS.includes(symbol));
  return isWritten && checkSymbol(value.slice(0, -1)) === value.slice(-1);
}

/**
 * A typed code in upper case without hyphens and spaces; I and L read as 1, O as 0.
 * @param {string} typed
 * @returns {string}
 */
export function tidyCode(typed) {
  return typed.replace(SEPARATORS, '').toUpperCase().replace(/[IL]/g, '1').replace(/O/g, '0');
}

/**
 * The tag code that a person typed; CrestrailError says what is wrong with it.
 * @param {string} typed
 * @returns {string}
 */
export function parseTagCode(typed) {
  const code = tidyCode(typed);
  for (const symbol of code) {
    if (!SYMBOLS.includes(symbol)) throw new CrestrailError('code_symbol', { symbol });
  }
  if (code.length !== RANDOM_SYMBOLS + 1) {
    throw new CrestrailError('code_length', { count: code.length });
  }
  if (checkSymbol(code.slice(0, -1)) !== code.slice(-1)) throw new CrestrailError('code_check');
  return code;
}

/**
 * A tag code as it is printed: `XXXX-XXXX-X`.
 * @param {string} code
 * @returns {string}
 */
export function showTagCode(code) {
  return `${code.slice(0, 4)}-${code.slice(4, 8)}-${code.slice(8)}`;
}
