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
