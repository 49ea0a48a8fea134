// Drop plans on the phone against tests/vectors/asking.json, written by the Python side.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { bestConstant, bestPlan, chanceBy, weekCosts } from '../../web/js/pricing/asking.js';

const cases = JSON.parse(readFileSync(new URL('../vectors/asking.json', import.meta.url)));

function near(got, wanted, where, scale = 1) {
  const size = Math.max(scale, Math.abs(wanted));
  assert.ok(Math.abs(got - wanted) <= 1e-9 * size, `${where}: ${got} is not ${wanted}`);
}

function samePlan(got, wanted, where) {
  assert.deepEqual(got.offsets, wanted.offsets, where);
  wanted.sold.forEach((x, i) => near(got.sold[i], x, where));
  for (const key of ['step', 'unsold', 'days', 'value']) near(got[key], wanted[key], where);
}

test('every drop plan is the one Python finds', () => {
  assert.ok(cases.length >= 20);
  cases.forEach(({ market: { on_sale: onSale, ...rest }, answers }, i) => {
    const market = { ...rest, onSale };
    const { horizon } = market.rate;
    const plan = bestPlan(market, horizon);
    samePlan(bestConstant(market, horizon), answers.constant, `constant ${i}`);
    samePlan(plan, answers.plan, `plan ${i}`);
    [0, 7, 30, horizon, 2 * horizon].forEach((day, k) => (
      near(chanceBy(market, plan, day), answers.by[k], `by ${day}`)));
    near(weekCosts(market, plan), answers.week, `week ${i}`, Math.exp(market.resale.mu));
  });
});
