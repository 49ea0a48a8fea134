import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';
import * as stages from '../../web/js/records/stages.js';

const cases = JSON.parse(readFileSync(new URL('../vectors/stages.json', import.meta.url), 'utf8'));
const asOf = cases.as_of;
const idOf = (fact) => fact?.id ?? null;

test('the stage follows from the facts as on the server', () => {
  for (const { why, stage, facts } of cases.cases) {
    const { asking_prices: askingPrices, same_as: sameAs, ...rest } = facts;
    assert.equal(stages.stage({ ...rest, askingPrices, sameAs }, asOf), stage, why);
  }
});

test('the order of precedence is that of the cases', () => {
  const alone = cases.cases.filter(({ why }) => why.endsWith(' alone')).map(({ stage }) => stage);
  assert.deepEqual(stages.STAGES, alone);
});

test('one sale counts and the others are in question or came back', () => {
  for (const { why, sales, returns, live, in_question: question, returned } of cases.sales) {
    const standing = stages.saleStanding(sales, returns);
    assert.equal(idOf(standing.live), live, why);
    assert.deepEqual(standing.inQuestion.map(idOf), question, why);
    assert.deepEqual(standing.returned.map(idOf), returned, why);
    assert.equal(stages.liveSale(sales, returns), standing.live);
  }
});

test('the current asking price and the hold that stands', () => {
  for (const { why, piece, asking_prices: prices, current } of cases.asking) {
    assert.equal(idOf(stages.currentAsking(piece, prices, asOf)), current, why);
  }
  for (const { why, holds, live } of cases.holds) {
    assert.equal(idOf(stages.liveHold(holds, asOf)), live, why);
  }
});

test('the smallest id stands for the same piece, whichever way the pairs were written', () => {
  for (const { id, pairs, canonical } of cases.canonical) {
    const said = pairs.map(([a, b]) => ({ id: a + b, duplicate_id: a, survivor_id: b }));
    const turned = pairs.map(([a, b]) => ({ id: b + a, duplicate_id: b, survivor_id: a }));
    assert.equal(stages.canonicalId(id, said), canonical);
    assert.equal(stages.canonicalId(id, turned.reverse()), canonical);
  }
});
