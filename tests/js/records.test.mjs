import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';
import { fieldsOf, groupOf, groupsOf, isQuiet, isType, namesIn } from '../../web/js/records/groups.js';
import { brokenRules } from '../../web/js/records/rules.js';
import { RECORD_TYPES } from '../../web/js/records/schema.js';
import { checkFields, checkPlain, writtenSize } from '../../web/js/records/values.js';

const vectors = (name) =>
  JSON.parse(readFileSync(new URL(`../vectors/${name}.json`, import.meta.url), 'utf8'));

test('fields are taken or refused as on the server', () => {
  for (const { type, fields, creating, found } of vectors('values').cases) {
    const said = checkFields(type, fields, { creating });
    const shown = JSON.stringify(fields)?.slice(0, 100);
    assert.deepEqual(said.map(({ path, code }) => [path, code]), found, `${type} ${shown}`);
    assert(said.every(({ message }) => message.length > 0));
  }
});

test('values that JSON does not have are refused', () => {
  const codeOf = (fields) => checkFields('sale', fields).map(({ code }) => code);
  assert.deepEqual(codeOf({ price: NaN }), ['wrong_type']);
  assert.deepEqual(codeOf({ price: 10n }), ['wrong_type']);
  for (const value of [NaN, Infinity, -Infinity]) {
    assert.deepEqual(codeOf({ of_later: value }), ['bad_number']);
  }
  for (const value of [undefined, 10n, () => 1, Symbol('x')]) {
    assert.deepEqual(codeOf({ of_later: value }), ['wrong_type']);
  }
  assert.deepEqual(codeOf({ price: undefined }), ['wrong_type']);
});

test('deep nesting is refused before it is walked', () => {
  let value = 1;
  for (let i = 0; i < 100_000; i += 1) value = [value];
  assert.deepEqual(checkPlain(value, 2000), ['too_deep', { max: 8 }]);
});

test('the counted size is never below the written length', () => {
  for (const value of [{}, [], { a: 1, b: [true, null, 'é😀'] }, 'x', 12_345_678_901, [[], [{}]]]) {
    assert(writtenSize(value) >= [...JSON.stringify(value)].length);
  }
});

test('what does not fit together is named as on the server', () => {
  for (const [type, fields, codes] of vectors('rules').cases) {
    const found = brokenRules(type, fields).map(([code]) => code);
    assert.deepEqual(found, codes, `${type} ${JSON.stringify(fields)}`);
  }
});

test('every field is in exactly one group', () => {
  for (const type of Object.keys(RECORD_TYPES)) {
    const names = [...groupsOf(type).values()].flat();
    assert.deepEqual(names.sort(), [...fieldsOf(type).keys()].sort());
    for (const [group, members] of groupsOf(type)) {
      for (const name of members) assert.equal(groupOf(type, name), group);
    }
  }
});

test('groups say what belongs together and what is quiet', () => {
  assert.deepEqual(namesIn('sale', 'money'), ['price', 'fee', 'delivery_charged']);
  assert.deepEqual(namesIn('sale', 'of_later'), ['of_later']);
  assert.equal(groupOf('sale', 'of_later'), 'of_later');
  assert(isQuiet('piece', 'spot_id'));
  assert(!isQuiet('piece', 'ask'));
  assert(!isQuiet('sale', 'of_later'));
  assert(!isType('constructor'));
  assert.throws(() => fieldsOf('no_such_type'), RangeError);
});
