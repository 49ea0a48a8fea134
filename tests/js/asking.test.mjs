// What to ask on the phone against tests/vectors/asking.json, written by the Python side.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { chancesBy } from '../../web/js/pricing/asking.js';
import { answerAsking } from '../../web/js/pricing/asking-answer.js';
import { Board, bestConstant, bestPlan, finer, weekCosts } from '../../web/js/pricing/dropping.js';
import { near, same } from '../helpers/near.mjs';

const read = (name) => JSON.parse(readFileSync(new URL(`../vectors/${name}`, import.meta.url)));
const { plans, asks } = read('asking.json');
const books = read('pricing_books.json');

function samePlan(got, wanted, where) {
  assert.deepEqual(got.offsets, wanted.offsets, where);
  for (const key of ['sold', 'steps']) {
    wanted[key].forEach((x, i) => near(got[key][i], x, `${where} ${key}`));
  }
  for (const key of ['unsold', 'days', 'value']) near(got[key], wanted[key], where);
}

test('every drop plan is the one Python finds', () => {
  assert.ok(plans.length >= 40);
  plans.forEach(({ market: { on_sale: onSale, ...rest }, answers }, i) => {
    const market = { ...rest, onSale };
    const { horizon } = market.rate;
    const board = new Board(market);
    const plan = bestPlan(board, Array(4).fill(horizon / 4));
    samePlan(bestConstant(board, horizon), answers.constant, `constant ${i}`);
    samePlan(plan, answers.plan, `plan ${i}`);
    samePlan(finer(board, plan), answers.finer, `finer ${i}`);
    chancesBy(market, plan, [0, 7, 30, horizon, 2 * horizon])
      .forEach((chance, k) => near(chance, answers.by[k], `by ${i} ${k}`));
    near(weekCosts(board, plan), answers.week, `week ${i}`, Math.exp(market.resale.mu));
  });
});

test('every answer about what to ask is the one Python gives', () => {
  assert.ok(asks.filter(({ answer }) => answer.ok).length >= 50);
  asks.forEach(({ book, data, answer }, i) => {
    same(answerAsking(books[book], data), answer, `ask ${i}`);
  });
  assert.deepEqual(answerAsking(null, asks[5].data).details.map(({ path }) => path), ['book']);
});
