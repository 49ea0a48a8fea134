import assert from 'node:assert/strict';
import test from 'node:test';
import { choicesOf, headingOf, valueWords } from '../../web/js/screens/look-words.js';

const EARLIER = { stopped_at: '2026-05-01T10:12:00.000Z', minutes: 12, stamp: 'a' };
const LATER = { stopped_at: '2026-05-01T11:20:00.000Z', minutes: 80, stamp: 'b' };

const lookAt = (kept, other, more = {}) => ({
  reason: 'both_edited', about_type: 'stint', about_id: 's1', about_group: 'stop', kept, other,
  ...more,
});

const household = {
  get: (type, id) => ({
    'stint s1': { id: 's1', piece_ids: ['p1'] }, 'piece p1': { id: 'p1', title: 'Writing desk' },
    'spot x1': { id: 'x1' },
  })[`${type} ${id}`] ?? null,
  where: () => [],
};

test('a timer stopped on two phones: the earlier stop is offered first, with both minutes', () => {
  const taken = choicesOf(lookAt(LATER, EARLIER));
  assert.deepEqual(taken.first, {
    label: 'Take the earlier stop, 12 min',
    writes: [{
      type: 'stint', id: 's1', fields: { stopped_at: EARLIER.stopped_at, minutes: 12 },
    }],
  });
  assert.deepEqual(taken.second, { label: 'Keep the later stop, 1 h 20', writes: [] });
});

test('where the earlier stop stands already, keeping it comes first and writes nothing', () => {
  const kept = choicesOf(lookAt(EARLIER, LATER));
  assert.deepEqual(kept.first, { label: 'Keep the earlier stop, 12 min', writes: [] });
  assert.deepEqual(kept.second, {
    label: 'Take the later stop, 1 h 20',
    writes: [{ type: 'stint', id: 's1', fields: { stopped_at: LATER.stopped_at, minutes: 80 } }],
  });
});

test('any other disagreement offers what stands first', () => {
  const others = [
    lookAt(LATER, { stopped_at: null, minutes: null, stamp: 'c' }),
    lookAt({ stopped_at: null, minutes: null, stamp: 'c' }, EARLIER),
    lookAt(LATER, { ...LATER, minutes: 30 }),
    lookAt({ too_large: true }, EARLIER),
    lookAt({ note: 'x' }, { note: 'y' }, { about_group: 'note' }),
    lookAt(LATER, EARLIER, { about_type: 'piece' }),
  ];
  for (const look of others) {
    const { first, second } = choicesOf(look);
    assert.deepEqual(first, { label: 'Keep what stands', writes: [] });
    assert.equal(second.label, 'Take the other');
  }
});

test('a stop is said in minutes, and the look by the piece that was worked on', () => {
  assert.match(valueWords(household, LATER, 'stint'), /^1 h 20, stopped at \d{1,2}:20/);
  assert.equal(
    headingOf(household, lookAt(LATER, EARLIER)), 'Writing desk: stop changed on two phones',
  );
  const spot = { reason: 'rule', about_type: 'spot' };
  assert.match(headingOf(household, { ...spot, about_id: 'x1' }), /^A spot: /);
  assert.match(headingOf(household, { ...spot, about_id: 'x2' }), /^A deleted spot: /);
});

test('two sales under records that were said to be one piece may be two pieces after all', () => {
  const records = {
    'sale a': { id: 'a', piece_id: 'p1', price: 4000, on: '2026-05-01' },
    'sale b': { id: 'b', piece_id: 'p2', price: 5500, on: '2026-05-02', buyer: 'Ada' },
    'piece p1': { id: 'p1', title: 'Red stool' }, 'piece p2': { id: 'p2', title: 'Stool, red' },
  };
  const pairs = [
    { id: 'same', duplicate_id: 'p2', survivor_id: 'p1' },
    { id: 'other', duplicate_id: 'p9', survivor_id: 'p8' },
  ];
  const home = {
    get: (type, id) => records[`${type} ${id}`] ?? null, all: () => pairs, where: () => [],
    today: () => '2026-06-01',
  };
  const look = {
    reason: 'two_sales', about_type: 'piece', about_id: 'p1', kept: { sale_id: 'a' },
    other: { sale_id: 'b' },
  };
  assert.deepEqual(choicesOf(look, home).third, {
    label: 'They are two pieces, both sold',
    writes: [{ type: 'same_as', id: 'same', fields: { deleted: true } }],
  });
  assert.equal(valueWords(home, look.other, 'piece'),
    '$55 to Ada, 2 May, written under “Stool, red”');
  records['sale b'].piece_id = 'p1';
  assert.equal(choicesOf(look, home).third, null, 'one record sold twice is one piece');
  assert.equal(valueWords(home, { sale_id: 'gone' }, 'piece'), 'a sale that is gone');
});
