/** Money as whole minor units (cents): reading, showing, scaling, splitting; see basis/money.py. */

import { CrestrailError } from './errors.js';
import { halfUp } from './rounding.js';

/**
 * A currency: its ISO 4217 code, how many minor digits it has, and its sign.
 * @typedef {{code: string, digits: number, symbol: string}} Currency
 */

/** @type {Currency} */
export const USD = { code: 'USD', digits: 2, symbol: '$' };

const SPACES = /[ \t\u00a0\u2009\u202f]+/g;
const LARGEST_TYPED = 10n ** 13n;
const PARTS_PER_MILLION = 1_000_000;

/**
 * The amount itself; TypeError unless it is a safe whole number.
 * @param {number} value
 * @returns {number}
 */
export function wholeMinor(value) {
  if (!Number.isSafeInteger(value)) {
    throw new TypeError(`money is a whole number of minor units, not ${value}`);
  }
  return value;
}

/**
 * `$1,234.50`; with `whole` an amount without cents is shown as `$38`.
 * @param {number} amount minor units
 * @param {{currency?: Currency, whole?: boolean}} [options]
 * @returns {string}
 */
export function formatMoney(amount, { currency = USD, whole = false } = {}) {
  const size = Math.abs(wholeMinor(amount));
  const unit = 10 ** currency.digits;
  const minor = size % unit;
  const major = String((size - minor) / unit).replace(/\B(?=(\d{3})+$)/g, ',');
  const isShown = currency.digits > 0 && (minor > 0 || !whole);
  const cents = isShown ? `.${String(minor).padStart(currency.digits, '0')}` : '';
  return `${amount < 0 ? '-' : ''}${currency.symbol}${major}${cents}`;
}

/**
 * @param {string} text
 * @param {string} mark
 * @returns {string} the text without the mark before and after it
 */
function withoutMark(text, mark) {
  const rest = text.startsWith(mark) ? text.slice(mark.length) : text;
  return trim(rest.endsWith(mark) ? rest.slice(0, -mark.length) : rest);
}

/** @param {string} text */
function trim(text) {
  return text.replace(/^ +| +$/g, '');
}

/**
 * @param {string} text
 * @param {Currency} currency
 * @returns {{sign: string, body: string}} a typed amount without currency sign or code
 */
function signAndBody(text, currency) {
  let body = trim(text.replace(SPACES, ' '));
  const sign = /^[-\u2212]/.test(body) ? '-' : '';
  if (sign) body = trim(body.slice(1));
  for (const mark of [currency.symbol, currency.code, currency.code.toLowerCase()]) {
    body = withoutMark(body, mark);
  }
  return { sign, body };
}

/** @param {number} digits */
function pattern(digits) {
  const part = digits ? `(?:([.,])([0-9]{0,${digits}}))?` : '()()';
  const grouped = '[0-9]{1,3}(?:[, ][0-9]{3})+|[0-9]{1,3}(?:\\.[0-9]{3})+';
  return new RegExp(`^(?:([0-9]+|${grouped}|)${part})$`);
}

/**
 * Minor units of an amount as a person types it: `12.50`, `$1,200`, `12,5`. A point or a comma
 * may be the decimal mark; thousands may be set off by comma, point or space. CrestrailError
 * when it is not an amount, or when `1.200` could be either.
 * @param {string} text
 * @param {Currency} [currency]
 * @returns {number}
 */
export function parseMoney(text, currency = USD) {
  const shown = { text: [...text].slice(0, 40).join('') };
  const { sign, body } = signAndBody(text, currency);
  const found = pattern(currency.digits).exec(body);
  if (!found || !/[0-9]/.test(body)) throw new CrestrailError('bad_money', shown);
  const [whole, point, part] = [found[1], found[2] ?? '', found[3] ?? ''];
  if (point && whole.includes(point)) throw new CrestrailError('bad_money', shown);
  if (whole.split('.').length === 2 && !point) throw new CrestrailError('money_two_ways', shown);
  const major = whole.replace(/[^0-9]/g, '').replace(/^0+/, '');
  if (major.length > 13) throw new CrestrailError('money_too_large', shown);
  const amount = BigInt((major || '0') + part.padEnd(currency.digits, '0'));
  if (amount > LARGEST_TYPED) throw new CrestrailError('money_too_large', shown);
  return Number(sign && amount > 0n ? -amount : amount);
}

/**
 * `amount * numerator / denominator`, halves up; exact before the one rounding.
 * @param {number} amount
 * @param {number} numerator
 * @param {number} denominator
 * @returns {number}
 */
export function scale(amount, numerator, denominator) {
  return halfUp(BigInt(wholeMinor(amount)) * BigInt(numerator), denominator);
}

/**
 * The share of an amount given in parts per million (a fee of 2.9% is 29,000).
 * @param {number} amount
 * @param {number} ppm
 * @returns {number}
 */
export function partsPerMillion(amount, ppm) {
  return scale(amount, ppm, PARTS_PER_MILLION);
}

/**
 * Shares of `total` in proportion to the weights, which add up to it exactly: floors, and the
 * cents left over go one each to the largest remainders, ties to the earlier. All-zero weights
 * share equally; a negative total splits as the positive one with the sign turned. RangeError
 * for no weights or a negative one. Products are exact beyond 2**53.
 * @param {number} total
 * @param {number[]} weights
 * @returns {number[]}
 */
export function split(total, weights) {
  if (!weights.length || weights.some((w) => wholeMinor(w) < 0)) {
    throw new RangeError('weights have to be there and must not be negative');
  }
  if (wholeMinor(total) < 0) return split(-total, weights).map((share) => -share || 0);
  const sharesOf = (weights.some((w) => w > 0) ? weights : weights.map(() => 1)).map(BigInt);
  const whole = sharesOf.reduce((sum, w) => sum + w, 0n);
  const products = sharesOf.map((w) => BigInt(total) * w);
  const shares = products.map((product) => product / whole);
  const left = Number(BigInt(total) - shares.reduce((sum, share) => sum + share, 0n));
  const order = products.map((_, i) => i).sort((a, b) => {
    const [x, y] = [products[a] % whole, products[b] % whole];
    return x === y ? a - b : x > y ? -1 : 1;
  });
  for (const i of order.slice(0, left)) shares[i] += 1n;
  return shares.map(Number);
}
