import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';
import * as clock from '../../web/js/basis/clock.js';
import { CrestrailError, ERRORS, detail, messageOf } from '../../web/js/basis/errors.js';
import * as ids from '../../web/js/basis/ids.js';
import * as money from '../../web/js/basis/money.js';
import { floorTo, halfUp, toMinor } from '../../web/js/basis/rounding.js';
import * as units from '../../web/js/basis/units.js';

const vectors = (name) =>
  JSON.parse(readFileSync(new URL(`../vectors/${name}.json`, import.meta.url), 'utf8'));

/** Random bytes that are these, over and over. */
const fixed = (bytes) => {
  let at = 0;
  return (count) => Uint8Array.from({ length: count }, () => bytes[at++ % bytes.length]);
};

/** The code that an action is refused with, or null when it is not refused. */
const codeOf = (action) => {
  try {
    action();
  } catch (error) {
    assert(error instanceof CrestrailError, String(error));
    return error.code;
  }
  return null;
};

test('roundings give the same whole numbers as the server', () => {
  const cases = vectors('rounding');
  for (const [top, bottom, result] of cases.half_up) assert.equal(halfUp(top, bottom), result);
  for (const [amount, step, result] of cases.floor_to) assert.equal(floorTo(amount, step), result);
  for (const [value, result] of cases.to_minor) assert.equal(toMinor(value), result, `${value}`);
});

test('roundings never give minus zero, and refuse what is no amount', () => {
  assert(Object.is(toMinor(-0.4), 0));
  assert(Object.is(toMinor(-0), 0));
  for (const value of [NaN, Infinity, -Infinity, 2 ** 53]) {
    assert.throws(() => toMinor(value), RangeError);
  }
  assert.throws(() => halfUp(1, 0), RangeError);
  assert.throws(() => floorTo(1, 0), RangeError);
});

test('money is shown, read, split and scaled as on the server', () => {
  const cases = vectors('money');
  for (const { amount, whole, text } of cases.format) {
    assert.equal(money.formatMoney(amount, { whole }), text);
  }
  for (const { currency, amount, whole, text } of cases.format_other) {
    assert.equal(money.formatMoney(amount, { currency, whole }), text);
  }
  for (const { text, amount } of cases.parse) {
    assert(Object.is(money.parseMoney(text), amount), text);
  }
  for (const { text, code } of cases.parse_refused) {
    assert.equal(codeOf(() => money.parseMoney(text)), code, text);
  }
  for (const { total, weights, shares } of cases.split) {
    assert.deepEqual(money.split(total, weights), shares);
  }
  for (const [amount, top, bottom, result] of cases.scale) {
    assert.equal(money.scale(amount, top, bottom), result);
  }
  assert.equal(money.partsPerMillion(9999, 29_000), 290);
});

test('only safe whole numbers are money', () => {
  for (const value of [1.5, NaN, 2 ** 53, '1', null, undefined]) {
    assert.throws(() => money.wholeMinor(value), TypeError);
    assert.throws(() => money.split(value, [1]), TypeError);
  }
  assert.throws(() => money.split(1, []), RangeError);
  assert.throws(() => money.split(1, [-1, 2]), RangeError);
});

test('moments and days are judged as on the server', () => {
  const cases = vectors('clock');
  for (const text of cases.instants) {
    assert(clock.isInstant(text), text);
    assert.equal(clock.toText(clock.fromText(text)), text);
  }
  for (const text of cases.not_instants) {
    assert(!clock.isInstant(text), text);
    assert.equal(codeOf(() => clock.fromText(text)), 'bad_instant', text);
  }
  for (const text of cases.dates) assert(clock.isDate(text), text);
  for (const text of cases.not_dates) assert(!clock.isDate(text), text);
  for (const [text, ms] of cases.ms) {
    assert.equal(clock.toMs(clock.fromText(text)), ms);
    assert.equal(clock.toText(clock.fromMs(ms)), text);
  }
});

test('the day is that of the household', () => {
  const cases = vectors('clock');
  for (const [text, zone, day, why] of cases.local_day) {
    assert.equal(clock.localDay(clock.fromText(text), zone), day, why);
    assert.deepEqual(clock.asOf(clock.fromText(text), zone), { at: text, on: day });
  }
  for (const zone of cases.not_zones) {
    assert.equal(codeOf(() => clock.localDay(new Date(0), zone)), 'bad_zone', zone);
  }
});

test('ids and check symbols agree with published examples', () => {
  const cases = vectors('ids');
  for (const [symbols, check, number] of cases.check) {
    assert.equal(ids.decode(symbols), BigInt(number));
    assert.equal(ids.encode(number), symbols);
    assert.equal(ids.checkSymbol(symbols), check);
  }
  for (const { ms, random, id } of cases.uuid7) {
    assert.equal(ids.newId(ms, fixed(Buffer.from(random, 'hex'))), id);
  }
  for (const [value, verdict] of cases.is_id) assert.equal(ids.isId(value), verdict);
  for (const [value, verdict] of cases.is_tag_code) assert.equal(ids.isTagCode(value), verdict);
});

test('typed tag codes are read or refused as on the server', () => {
  for (const { typed, code, error } of vectors('ids').tag_codes) {
    if (code) assert.equal(ids.parseTagCode(typed), code);
    else assert.equal(codeOf(() => ids.parseTagCode(typed)), error, typed);
  }
  assert.equal(ids.showTagCode('7K3M9QXDA'), '7K3M-9QXD-A');
});

test('new tag codes are right and end in a symbol that can be read aloud', () => {
  const made = new Set(Array.from({ length: 2000 }, () => ids.newTagCode(ids.systemRandom)));
  assert.equal(made.size, 2000);
  for (const code of made) assert(ids.isTagCode(code) && ids.SYMBOLS.includes(code.at(-1)), code);
  const drawnAgain = [0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0, 0, 1];
  assert.equal(ids.newTagCode(fixed(drawnAgain)), '000000011');
});

test('a device id is sixteen hexadecimal digits', () => {
  assert.equal(ids.newDeviceId(fixed([0x0a, 0xbc])), '0abc0abc0abc0abc');
  assert(ids.isDeviceId('0abc0abc0abc0abc'));
  assert(!ids.isDeviceId('0ABC0abc0abc0abc'));
});

test('measures are exact and shown in the person’s own units', () => {
  const cases = vectors('units');
  for (const [measure, system, count, base] of cases.exact) {
    const unit = units.UNITS[measure][system];
    assert.equal(units.toBase(count, 1, unit), base);
    assert.equal(units.inParts(base, unit), count * unit.parts);
  }
  for (const [text, [top, bottom]] of cases.quantity) {
    assert.deepEqual(units.parseQuantity(text), [BigInt(top), BigInt(bottom)], text);
  }
  for (const text of cases.quantity_refused) {
    assert.equal(codeOf(() => units.parseQuantity(text)), 'bad_quantity', text);
  }
  for (const [text, measure, system, base] of cases.parse) {
    assert.equal(units.parseMeasure(text, measure, system), base, text);
  }
  for (const [base, measure, system, text] of cases.show) {
    assert.equal(units.showMeasure(base, measure, system), text);
  }
});

test('the error table is the server’s', () => {
  assert.deepEqual(ERRORS, vectors('errors').table);
});

test('an unknown code or an unfilled place is a programming error', () => {
  assert.throws(() => messageOf('no_such_code'), /no such error code/);
  assert.throws(() => messageOf('too_large'), /needs limit/);
});

test('an answer of home becomes the error it says', () => {
  const details = [detail('price', 'too_small', { min: 0 })];
  const body = { code: 'bad_field', message: 'Some values cannot be taken', details };
  const error = CrestrailError.fromAnswer(422, body);
  assert(error instanceof CrestrailError);
  assert.deepEqual(
    [error.code, error.message, error.status, error.details],
    ['bad_field', 'Some values cannot be taken', 422, details],
  );
  const newer = CrestrailError.fromAnswer(418, { code: 'of_a_newer_home', message: 'Hm', x: 1 });
  assert.deepEqual([newer.code, newer.message, newer.details], ['of_a_newer_home', 'Hm', []]);
});

test('what is not in our shape is not an answer of home', () => {
  for (const body of [null, 'login here', [], { error: 1 }, { code: 5, message: 'x' }]) {
    assert.equal(CrestrailError.fromAnswer(200, body).code, 'not_an_answer');
  }
});
