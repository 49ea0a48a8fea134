import assert from 'node:assert/strict';
import test from 'node:test';
import { Memory } from '../../web/js/state/memory.js';
import { forget, forgetPeopleOf, mentionsOf } from '../../web/js/state/people.js';

const WHEN = { at: '2026-05-01T10:00:00.000Z', on: '2026-05-01' };
const id = (n) => `01900000-0000-7000-8000-${String(n).padStart(12, '0')}`;
const NOW = '2026-06-01T10:00:00.000Z';

/** A household that remembers what it was to keep in one go. */
function home(rows) {
  const memory = new Memory();
  memory.put(rows.map(([type, n, fields]) => ({
    type, id: id(n), fields,
    stamps: Object.fromEntries(['when', 'money', 'sale_id', 'piece_id', 'stop_id', 'settled',
      ...Object.keys(fields)].map((group) => [group, 'a'])),
  })));
  let made = 900;
  const kept = [];
  return {
    memory, kept, all: (type) => memory.all(type), when: () => ({ at: NOW, on: '2026-06-01' }),
    newId: () => id((made += 1)),
    commit: async (intents) => void kept.push(intents),
  };
}

const written = ({ kept }) => kept[0].filter((one) => !one.erase)
  .map(({ type, id: key, fields }) => [type, key, fields]);
const erased = ({ kept }) => kept[0].filter((one) => one.erase).map((one) => [one.type, one.id]);

const SALE = { ...WHEN, piece_id: id(1), price: 9000, buyer: 'Thea', note: 'by the mill', receipt: 'X-1' };

test('a sale is kept under a new id without its buyer; what pointed to it follows', async () => {
  const one = home([
    ['piece', 1, { ...WHEN }], ['sale', 2, SALE],
    ['payment', 3, { ...WHEN, piece_id: id(1), sale_id: id(2), amount: 500 }],
    ['look', 4, { at: NOW, kept: { sale_id: id(2) }, other: { sale_id: id(8) } }],
    ['look', 5, { at: NOW, kept: { sale_id: id(7) }, other: { sale_id: id(8) } }],
  ]);
  assert.equal(await forget(one, mentionsOf(one, 'THEA ')), 1);
  assert.deepEqual(erased(one), [['sale', id(2)]]);
  const { buyer, note, ...rest } = SALE;
  assert.deepEqual(written(one), [
    ['sale', id(901), rest], ['payment', id(3), { sale_id: id(901) }],
    ['look', id(4), { settled_at: NOW, settled_how: 'A person was forgotten' }],
  ]);
  assert.equal(one.kept.length, 1, 'in one transaction');
});

test('who asked about a piece goes, and who it is still promised to stays', async () => {
  const about = { ...WHEN, piece_id: id(1) };
  const one = home([
    ['piece', 1, { ...WHEN, note: 'Ask Thea' }],
    ['inquiry', 2, { ...about, name: 'Asker' }],
    ['offer', 3, { ...about, amount: 1100, note: 'Bidder', inquiry_id: id(2) }],
    ['offer', 4, { ...about, amount: 900, note: 'Decliner', answer: 'declined' }],
    ['offer', 5, { ...about, amount: 1200 }],
    ['hold', 6, { ...about, name: 'Holding', until_at: '2026-07-01T10:00:00.000Z' }],
    ['hold', 7, { ...about, name: 'Over', until_at: '2026-05-09T10:00:00.000Z' }],
    ['inquiry', 8, { ...WHEN, piece_id: id(99), name: 'Another' }],
  ]);
  assert.equal(await forgetPeopleOf(one, id(1)), 4);
  assert.deepEqual(erased(one).map(([, key]) => key).sort(), [id(2), id(3), id(4), id(7)]);
  assert.deepEqual(written(one), [['offer', id(901), { ...about, amount: 1100 }]]);
});

test('a person is found in every text, and words about a piece are left to be changed by hand', () => {
  const one = home([
    ['piece', 1, { ...WHEN, note: 'Thea will call' }],
    ['hold', 2, { ...WHEN, piece_id: id(1), name: 'Thea', until_at: '2026-07-01T10:00:00.000Z' }],
    ['want', 3, { ...WHEN, contact: 'thea at the mill' }],
    ['want', 4, { ...WHEN, name: 'Theodor' }],
    ['stop', 5, { ...WHEN, place: "Thea's yard", deleted: true }],
  ]);
  const how = Object.fromEntries(mentionsOf(one, 'thea').map((found) => [found.type, found.how]));
  assert.deepEqual(how, { want: 'erase', hold: 'keep', stop: 'erase', piece: 'elsewhere' });
  assert.deepEqual(mentionsOf(one, 't'), [], 'one letter is nobody');
});
