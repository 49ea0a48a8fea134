// Answers to offers on the phone against tests/vectors/offers.json, written by the Python side.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { answerPieceOffer } from '../../web/js/pricing/offer-answer.js';
import { answerOffer } from '../../web/js/pricing/offers.js';
import { same } from '../helpers/near.mjs';

const read = (name) => JSON.parse(readFileSync(new URL(`../vectors/${name}`, import.meta.url)));
const { bare, pieces } = read('offers.json');
const books = read('pricing_books.json');
const ALL = ['counter', 'take', 'wait', undefined];

test('every answer to an offer is the one Python gives', () => {
  const said = new Set();
  bare.forEach(({ market: { on_sale: onSale, ...rest }, value, data, answer }, i) => {
    same(answerOffer({ ...rest, onSale }, value, data), answer, `case ${i}`);
    said.add(answer.best);
  });
  assert.deepEqual([...said].sort(), ALL);
});

test('every answer to an offer for a piece is the one Python gives', () => {
  const said = new Set();
  pieces.forEach(({ book, data, answer }, i) => {
    same(answerPieceOffer(books[book], data), answer, `piece ${i}`);
    said.add(answer.best);
  });
  assert.deepEqual([...said].sort(), ALL);
});
