import { randomSymbols } from '../basis/ids.js';
import { metaOf, putMeta } from './meta.js';

/** @typedef {import('./open.js').Tx} Tx */
/** @typedef {import('./types.js').Row} Row */

const SERIES_SYMBOLS = 4;

/**
 * The next receipt number, taken in the transaction that saves the sale, so that two tabs of one
 * phone never give the same one. A series belongs to this database: one that was cleared begins
 * another series, because nobody knows which numbers of the old one stand on paper.
 * @param {Tx} tx with records and meta
 * @param {(bytes: number) => Uint8Array} randomBytes
 * @returns {Promise<string>} such as `7KQ2-0001`
 */
export async function takeReceipt(tx, randomBytes) {
  const sales = /** @type {Row[]} */ (await tx.objectStore('records')
    .getAll(IDBKeyRange.bound(['sale'], ['sale', []])));
  const given = sales.map((row) => String(row.fields.receipt ?? ''));
  const kept = await metaOf(tx, 'receipts');
  const series = kept?.series ?? newSeries(given, randomBytes);
  const last = Math.max(kept?.last ?? 0, ...numbersOf(series, given)) + 1;
  await putMeta(tx, 'receipts', { series, last });
  return `${series}-${String(last).padStart(4, '0')}`;
}

/**
 * @param {string[]} given
 * @param {(bytes: number) => Uint8Array} randomBytes
 * @returns {string} one that no known receipt belongs to
 */
function newSeries(given, randomBytes) {
  for (;;) {
    const series = randomSymbols(randomBytes, SERIES_SYMBOLS);
    if (!numbersOf(series, given).length) return series;
  }
}

/**
 * @param {string} series
 * @param {string[]} given
 * @returns {number[]} the numbers of the series that were given
 */
const numbersOf = (series, given) =>
  given.filter((receipt) => receipt.startsWith(`${series}-`))
    .map((receipt) => Number(receipt.slice(series.length + 1)))
    .filter(Number.isSafeInteger);
