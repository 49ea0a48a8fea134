// The workings of several finds at one price: the rows of each added up, to the cent.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { priceFind } from '../../web/js/pricing/pad.js';
import { lotRows } from '../../web/js/screens/lot-sums.js';

const { books, cases } = JSON.parse(readFileSync(new URL('../vectors/lots.json', import.meta.url)));
const bought = cases.filter(({ answer }) => answer.ok && answer.most > 0);
const sum = (rows) => rows.reduce((total, { amount }) => total + amount, 0);
const rowsOf = ({ book, finds, answer }) => lotRows(
  finds.map((find) => priceFind(books[book], find).waterfall), answer);

test('the rows add up to the most to pay for all', () => {
  assert.ok(bought.length > 40);
  for (const one of bought) {
    const rows = rowsOf(one);
    assert.deepEqual(rows.at(-1), { key: 'most', amount: one.answer.most });
    assert.equal(sum(rows.slice(0, -1)), one.answer.most);
    const likely = one.answer.pieces.reduce((total, piece) => total + piece.likely, 0);
    assert.ok(Math.abs(rows[0].amount - likely) <= one.finds.length);
  }
});

test('where the least profit sets it, only rounding parts it from the single workings', () => {
  const byProfit = bought.filter(({ answer }) => answer.binding === 'profit');
  assert.ok(byProfit.length > 10);
  for (const one of byProfit) {
    const each = one.finds.flatMap((find) => priceFind(books[one.book], find).waterfall)
      .filter(({ key }) => key === 'unsold');
    const unsold = rowsOf(one).filter(({ key }) => key === 'unsold');
    assert.ok(Math.abs(sum(unsold) - sum(each)) <= one.finds.length);
  }
});

test('caution is taken off where the limit for losses sets it, and only there', () => {
  for (const one of bought) {
    const caution = rowsOf(one).find(({ key }) => key === 'caution')?.amount ?? 0;
    assert.equal(caution < 0, one.answer.binding === 'loss');
  }
});
