import assert from 'node:assert/strict';
import test from 'node:test';
import { pressKey, readAmount, stepAmount, typedAmount } from '../../web/js/ui/amount.js';
import { placeOf, readRoute, titleOf } from '../../web/js/ui/routes.js';
import {
  aboutMoney, ageWords, countWords, dayWords, minutesWords, moneyWords, statusWords, toTheCent,
} from '../../web/js/ui/words.js';

const NOW = new Date('2026-05-01T12:00:00Z');
const before = (minutes) => NOW.getTime() - minutes * 60_000;

test('an amount that was typed is read to the cent, or not at all', () => {
  const read = [
    ['12', 1200], ['12.5', 1250], ['12.05', 1205], ['.5', 50], ['$1,250', 125_000], [' 7 ', 700],
    ['0', 0], ['', null], ['.', undefined], ['1.234', undefined], ['twelve', undefined],
    ['-3', undefined], ['99999999999', undefined], ['12,50', 1250], ['1,250,000', 125_000_000],
    ['12,5', 1250], ['1,2345', undefined],
  ];
  for (const [text, minor] of read) assert.equal(readAmount(text), minor, text);
});

test('an amount is written as it would be typed, and read back the same', () => {
  for (const minor of [0, 5, 50, 1200, 1205, 125_000, 10 ** 11]) {
    assert.equal(readAmount(typedAmount(minor)), minor);
  }
  assert.equal(typedAmount(null), '');
});

test('keys of the number pad build an amount and never an unreadable one', () => {
  const presses = [
    [['2', '0'], '20'], [['2', '0', 'back'], '2'], [['2', 'clear'], ''], [['.', '5'], '0.5'],
    [['1', '.', '2', '3', '4'], '1.23'], [['1', '.', '.'], '1.'], [['0', '0', '7'], '7'],
  ];
  for (const [keys, text] of presses) {
    assert.equal(keys.reduce((now, key) => pressKey(now, key, false), ''), text, keys.join(' '));
  }
  assert.equal(pressKey('145', '2', true), '2', 'the first digit replaces what stood there');
  assert.equal(pressKey('145', 'back', true), '14', 'but deleting works on what stands there');
});

test('big steps go to the next even step and stop at nothing', () => {
  const steps = [[null, 500, 500], [500, 500, 1000], [1200, 500, 1500], [1200, -500, 1000],
    [1000, -500, 500], [300, -500, 0], [0, -500, 0]];
  for (const [now, step, then] of steps) assert.equal(stepAmount(now, step), then);
});

test('money is said as a person says it', () => {
  const words = [[0, '$0'], [3800, '$38'], [1250, '$12.50'], [125_000, '$1,250'], [-800, '−$8'],
    [null, '–'], [5, '$0.05']];
  for (const [minor, said] of words) assert.equal(moneyWords(minor), said);
  assert.equal(toTheCent(3800), '$38.00');
  assert.equal(toTheCent(-1490), '−$14.90');
});

test('an estimate has no cents, and halves go away from nothing', () => {
  const words = [[14_549, '$145'], [14_550, '$146'], [-149, '−$1'], [-150, '−$2'], [-40, '$0']];
  for (const [minor, said] of words) assert.equal(aboutMoney(minor), said);
});

test('time is said as a person says it', () => {
  const spans = [[15, '15 min'], [60, '1 h'], [80, '1 h 20'], [59.6, '1 h'], [0, '0 min']];
  for (const [minutes, said] of spans) assert.equal(minutesWords(minutes), said);
  const ages = [[0, 'just now'], [5, '5 min ago'], [125, '2 h ago'], [1440, '1 day ago'],
    [12 * 1440, '12 days ago'], [-5, 'just now']];
  for (const [minutes, said] of ages) assert.equal(ageWords(before(minutes), NOW), said);
  assert.equal(dayWords('2026-05-01', '2026-12-31'), '1 May');
  assert.equal(dayWords('2025-12-31', '2026-01-01'), '31 Dec 2025');
  assert.equal(countWords(1, 'piece'), '1 piece');
  assert.equal(countWords(3, 'pass', 'passes'), '3 passes');
});

test('the status never says home while anything is not', () => {
  const states = [
    [{ state: 'home', unsent: 0 }, 'Home', ''],
    [{ state: 'home', unsent: 2, oldestUnsentAt: before(3) }, '2 to send, oldest 3 min', 'warn'],
    [{ state: 'home', unsent: 0, photosUnsent: 1 }, '1 to send', 'warn'],
    [{ state: 'away', unsent: 3, oldestUnsentAt: before(125) }, '3 to send, oldest 2 h', 'warn'],
    [{ state: 'away', unsent: 0, lastHomeAt: before(125) }, 'Home 2 h ago', ''],
    [{ state: 'sending', unsent: 1, oldestUnsentAt: before(0) }, 'Sending 1', 'warn'],
    [{ state: 'trouble', unsent: 4 }, 'Trouble, 4 to send', 'stop'],
    [{ state: 'revoked', unsent: 4 }, 'Removed at home', 'stop'],
    [{ state: 'unpaired', unsent: 0 }, 'Not added yet', 'warn'],
  ];
  for (const [sync, text, tone] of states) {
    const said = statusWords(sync, NOW);
    assert.deepEqual([said.text, said.tone], [text, tone]);
  }
});

test('an address means a screen', () => {
  const at = (hash, pathname = '/') => {
    const { name, parts, params } = readRoute({ pathname, hash });
    return [name, ...parts, ...Object.entries(params).flat()];
  };
  const meant = [
    ['', ['at-the-sale']], ['#/sale', ['at-the-sale']], ['#/nowhere', ['at-the-sale']],
    ['#/pieces', ['pieces']], ['#/pieces/ab-1', ['piece', 'ab-1']],
    ['#/pieces/ab-1?do=sell', ['piece', 'ab-1', 'do', 'sell']],
    ['#/ledger?year=2026', ['ledger', 'year', '2026']], ['#/pair', ['pair']],
    ['#/pieces/%E0%A4%A', ['piece', '%E0%A4%A']],
  ];
  for (const [hash, route] of meant) assert.deepEqual(at(hash), route, hash);
  assert.deepEqual(at('', '/t/K7M2-Q9D4-6'), ['scan', 'K7M2-Q9D4-6']);
  assert.deepEqual(at('#/pieces', '/t/K7M2-Q9D4-6'), ['pieces']);
  assert.deepEqual(at('#AB-CDEF-GHJK', '/pair'), ['pair', 'AB-CDEF-GHJK']);
  assert.equal(placeOf('piece'), 'pieces');
  assert.equal(titleOf('household'), 'Household');
});
