/** Checking the values of a record's fields: the decision of records/values.py. */

import { isDate, isInstant } from '../basis/clock.js';
import { detail } from '../basis/errors.js';
import { isId, isTagCode } from '../basis/ids.js';
import { SAFE } from '../basis/rounding.js';
import { fieldsOf, isType } from './groups.js';

/** @typedef {import("./schema.js").Field} Field */
/** @typedef {import("../basis/errors.js").Detail} Detail */
/** @typedef {import("../basis/errors.js").Values} Values */
/** @typedef {[string, Values]} Finding an error code and the values for its message */

export const MAX_DEPTH = 8;
export const MAX_FIELDS = 200;
/** The written size, in characters, up to which the value of an unknown field is kept. */
export const UNKNOWN_MAX = 2000;
export const NUMBER_SIZE = 12;

const NAME = /^[a-z][a-z0-9_]{0,39}$/;
const SLUG = /^[a-z0-9][a-z0-9-]{0,39}$/;
const SHA256 = /^[0-9a-f]{64}$/;
const BAD_TEXT = /[\0\ud800-\udfff]/u;

/** @type {Record<string, string>} */
const WORDS = {
  text: 'text', slug: 'a short lower-case name', int: 'a whole number',
  money: 'a whole number of minor units', bool: 'true or false',
  instant: 'a moment like 2026-05-01T14:03:00.000Z', date: 'a day like 2026-05-01',
  id: 'an id (UUID, lower case)', ids: 'a list of ids (UUIDs, lower case)',
  slugs: 'a list of short lower-case names',
  choice: 'one of the choices', sha256: '64 lower-case hexadecimal digits',
  code: 'a tag code of 9 letters and digits', object: 'an object',
};

/**
 * @param {Field} field
 * @returns {Finding}
 */
function expected(field) {
  return ['wrong_type', { expected: WORDS[field.type] }];
}

/** @param {unknown} value */
function isSlug(value) {
  return typeof value === 'string' && SLUG.test(value);
}

/** @param {unknown} value */
function isSha256(value) {
  return typeof value === 'string' && SHA256.test(value);
}

/**
 * @param {unknown} value
 * @returns {value is Record<string, unknown>}
 */
function isObject(value) {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/**
 * Characters (code points), as the other side counts them.
 * @param {string} text
 */
function lengthOf(text) {
  return [...text].length;
}

/**
 * @param {Field} field
 * @param {unknown} value
 * @returns {Finding | null}
 */
function checkText(field, value) {
  if (typeof value !== 'string') return expected(field);
  if (BAD_TEXT.test(value)) return ['bad_text', {}];
  const length = lengthOf(value);
  if (field.min !== undefined && length < field.min) return ['too_short', { min: field.min }];
  if (field.max !== undefined && length > field.max) return ['too_long', { max: field.max }];
  return null;
}

/**
 * @param {Field} field
 * @param {unknown} value
 * @returns {Finding | null}
 */
function checkInt(field, value) {
  if (typeof value !== 'number' || !Number.isInteger(value)) return expected(field);
  const [low, high] = [field.min ?? -SAFE, field.max ?? SAFE];
  if (value < low) return ['too_small', { min: low }];
  return value > high ? ['too_big', { max: high }] : null;
}

/**
 * @param {Field} field
 * @param {unknown} value
 * @returns {Finding | null}
 */
function checkChoice(field, value) {
  if (typeof value !== 'string') return expected(field);
  const choices = field.choices ?? [];
  return choices.includes(value) ? null : ['unknown_choice', { choices: choices.join(', ') }];
}

/**
 * @param {(value: unknown) => boolean} isOne
 * @returns {(field: Field, value: unknown) => Finding | null}
 */
function one(isOne) {
  return (field, value) => (isOne(value) ? null : expected(field));
}

/**
 * @param {(value: unknown) => boolean} isOne
 * @returns {(field: Field, value: unknown) => Finding | null}
 */
function list(isOne) {
  return (field, value) => {
    if (!Array.isArray(value) || !value.every(isOne)) return expected(field);
    const { length } = value;
    if (field.max !== undefined && length > field.max) return ['too_many', { max: field.max }];
    if (field.min !== undefined && length < field.min) return ['too_few', { min: field.min }];
    return new Set(value).size < length ? ['twice', {}] : null;
  };
}

/**
 * What is wrong with a plain JSON value: its texts, numbers, depth and written size.
 * @param {unknown} value
 * @param {number} maxSize
 * @param {number} [depth]
 * @returns {Finding | null}
 */
export function checkPlain(value, maxSize, depth = 0) {
  if (depth > MAX_DEPTH) return ['too_deep', { max: MAX_DEPTH }];
  let found = checkScalar(value);
  let parts = Array.isArray(value) ? value : [];
  if (isObject(value)) parts = [...Object.keys(value), ...Object.values(value)];
  for (const part of parts) found = found ?? checkPlain(part, maxSize, depth + 1);
  if (!found && depth === 0 && writtenSize(value) > maxSize) return ['too_long', { max: maxSize }];
  return found;
}

/**
 * @param {unknown} value
 * @returns {Finding | null}
 */
function checkScalar(value) {
  if (typeof value === 'string') return BAD_TEXT.test(value) ? ['bad_text', {}] : null;
  if (value === null || typeof value === 'boolean' || typeof value === 'object') return null;
  if (typeof value !== 'number') return ['wrong_type', { expected: 'plain JSON' }];
  return value >= -SAFE && value <= SAFE ? null : ['bad_number', {}];
}

/**
 * The length of a JSON value written out, counted alike in both languages.
 * @param {unknown} value
 * @returns {number}
 */
export function writtenSize(value) {
  if (typeof value === 'string') return lengthOf(value) + 2;
  if (Array.isArray(value)) return value.reduce((sum, entry) => sum + 1 + writtenSize(entry), 2);
  if (isObject(value)) {
    const entries = Object.entries(value);
    return entries.reduce((sum, [k, v]) => sum + lengthOf(k) + 4 + writtenSize(v), 2);
  }
  return value === null || typeof value === 'boolean' ? 5 : NUMBER_SIZE;
}

/**
 * @param {Field} field
 * @param {unknown} value
 * @returns {Finding | null}
 */
function checkObject(field, value) {
  return isObject(value) ? checkPlain(value, field.max ?? UNKNOWN_MAX) : expected(field);
}

/** @type {Record<string, (field: Field, value: unknown) => Finding | null>} */
const CHECKS = {
  text: checkText,
  slug: one(isSlug),
  int: checkInt,
  money: checkInt,
  bool: one((value) => typeof value === 'boolean'),
  instant: one(isInstant),
  date: one(isDate),
  id: one(isId),
  ids: list(isId),
  slugs: list(isSlug),
  choice: checkChoice,
  sha256: one(isSha256),
  code: one(isTagCode),
  object: checkObject,
};

/**
 * What is wrong with one value of a field; null (cleared) is always right.
 * @param {Field} field
 * @param {unknown} value
 * @returns {Finding | null}
 */
export function checkValue(field, value) {
  return value === null ? null : CHECKS[field.type](field, value);
}

/**
 * @param {string} name
 * @param {unknown} value
 * @returns {Finding | null}
 */
function checkUnknown(name, value) {
  return NAME.test(name) ? checkPlain(value, UNKNOWN_MAX) : ['bad_name', {}];
}

/**
 * Everything that is wrong with the fields of a record, as details; empty when all is well.
 * Unknown fields are taken when they are plain JSON; an unknown type is not. Required fields
 * are asked for only when `creating`.
 * @param {string} typeName
 * @param {unknown} fields
 * @param {{creating?: boolean}} [options]
 * @returns {Detail[]}
 */
export function checkFields(typeName, fields, { creating = false } = {}) {
  if (!isType(typeName)) {
    return [detail('type', 'unknown_type', { name: String(typeName).slice(0, 40) })];
  }
  if (!isObject(fields)) return [detail('fields', 'wrong_type', { expected: 'an object' })];
  const entries = Object.entries(fields);
  if (entries.length > MAX_FIELDS) {
    return [detail('fields', 'too_many_fields', { max: MAX_FIELDS })];
  }
  const known = fieldsOf(typeName);
  const found = [];
  for (const [name, value] of entries) {
    const field = known.get(name);
    const finding = field ? checkValue(field, value) : checkUnknown(name, value);
    if (finding) found.push(detail([...name].slice(0, 60).join(''), finding[0], finding[1]));
  }
  return creating ? [...found, ...missing(known, fields)] : found;
}

/**
 * @param {Map<string, Field>} known
 * @param {Record<string, unknown>} fields
 * @returns {Detail[]}
 */
function missing(known, fields) {
  const needed = [...known.values()].filter((field) => field.required);
  return needed
    .filter((field) => (fields[field.name] ?? null) === null)
    .map((field) => detail(field.name, 'required'));
}
