/**
 * Measures: millimetres, grams, metres and litres inside, the person's units at the edge;
 * mirrors basis/units.py, where the exact factors have their source.
 */

import { CrestrailError } from './errors.js';
import { halfUp } from './rounding.js';

/**
 * A unit: how many base units it is (numerator / denominator) and how finely it is shown
 * (`parts`: 4 for quarters, 10 for one decimal, 1 for whole ones).
 * @typedef {{symbol: string, numerator: number, denominator: number, parts: number}} Unit
 */

/** @typedef {"length" | "weight" | "distance" | "volume"} Measure */
/** @typedef {"us" | "metric"} System */

/**
 * @param {string} symbol
 * @param {number} numerator
 * @param {number} denominator
 * @param {number} parts
 * @returns {Unit}
 */
const unit = (symbol, numerator, denominator, parts) => ({ symbol, numerator, denominator, parts });

/** @type {Record<Measure, Record<System, Unit>>} base units are mm, g, m and litres */
export const UNITS = {
  length: { us: unit('in', 254, 10, 4), metric: unit('cm', 10, 1, 10) },
  weight: { us: unit('lb', 45_359_237, 100_000, 1), metric: unit('kg', 1000, 1, 10) },
  distance: { us: unit('mi', 1_609_344, 1000, 10), metric: unit('km', 1000, 1, 10) },
  volume: {
    us: unit('cu ft', 28_316_846_592, 1_000_000_000, 10),
    metric: unit('L', 1, 1, 1),
  },
};

const DECIMAL = /^(?:([0-9]{1,9})(?:[.,]([0-9]{0,6}))?|[.,]([0-9]{1,6}))$/;
const THOUSANDS = /^[1-9][0-9]{0,2}(?:,[0-9]{3})+(?=$|[. ])/;
const FRACTION = /^(?:([0-9]{1,9}) )?([0-9]{1,3})\/([0-9]{1,3})$/;

/** @param {string} text */
function tidy(text) {
  return text.replace(/[ \t\u00a0]+/g, ' ').replace(/^ +| +$/g, '');
}

/**
 * Numerator and denominator of `30`, `30.5`, `30 1/2` or `1,200`; CrestrailError otherwise. A comma
 * parts thousands where it can, since that is how we show them, else decimals.
 * @param {string} text
 * @returns {[bigint, bigint]}
 */
export function parseQuantity(text) {
  const body = tidy(text).replace(THOUSANDS, (grouped) => grouped.replaceAll(',', ''));
  const decimal = DECIMAL.exec(body);
  if (decimal) {
    const part = decimal[2] ?? decimal[3] ?? '';
    return [BigInt((decimal[1] ?? '0') + part), 10n ** BigInt(part.length)];
  }
  const fraction = FRACTION.exec(body);
  if (!fraction || Number(fraction[3]) === 0) {
    throw new CrestrailError('bad_quantity', { text: [...text].slice(0, 40).join('') });
  }
  const [whole, top, bottom] = fraction.slice(1).map((group) => BigInt(group ?? 0));
  return [whole * bottom + top, bottom];
}

/**
 * So much of a unit in base units, to the nearest whole one, halves up.
 * @param {number | bigint} numerator
 * @param {number | bigint} denominator
 * @param {Unit} of
 * @returns {number}
 */
export function toBase(numerator, denominator, of) {
  const top = BigInt(numerator) * BigInt(of.numerator);
  return halfUp(top, BigInt(denominator) * BigInt(of.denominator));
}

/**
 * Base units as a count of the unit's parts (quarters, tenths), to the nearest, halves up.
 * @param {number} base
 * @param {Unit} of
 * @returns {number}
 */
export function inParts(base, of) {
  return halfUp(BigInt(base) * BigInt(of.denominator) * BigInt(of.parts), of.numerator);
}

/**
 * What a person typed, in base units; the unit's own symbol may follow the number.
 * @param {string} text
 * @param {Measure} measure
 * @param {System} system
 * @returns {number}
 */
export function parseMeasure(text, measure, system) {
  const of = UNITS[measure][system];
  const body = tidy(text);
  const number = body.endsWith(of.symbol) ? body.slice(0, -of.symbol.length) : body;
  return toBase(...parseQuantity(number), of);
}

/**
 * Base units as the person reads them: `30 1/2 in`, `77.5 cm`, `12.3 mi`.
 * @param {number} base
 * @param {Measure} measure
 * @param {System} system
 * @returns {string}
 */
export function showMeasure(base, measure, system) {
  const of = UNITS[measure][system];
  const count = inParts(base, of);
  const size = Math.abs(count);
  const part = size % of.parts;
  const shown = written((size - part) / of.parts, part, of.parts);
  return `${count < 0 ? '-' : ''}${shown} ${of.symbol}`;
}

/**
 * @param {number} whole
 * @param {number} part
 * @param {number} parts
 * @returns {string}
 */
function written(whole, part, parts) {
  const grouped = String(whole).replace(/\B(?=(\d{3})+$)/g, ',');
  if (part === 0) return grouped;
  if (parts === 10) return `${grouped}.${part}`;
  const fraction = part * 2 === parts ? '1/2' : `${part}/${parts}`;
  return whole > 0 ? `${grouped} ${fraction}` : fraction;
}
