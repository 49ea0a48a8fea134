// The workings of what to ask and what to say: every part as it is worked out, sums to the cent.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { termsOf } from '../../web/js/pricing/figures.js';
import { offerSums, planSum } from '../../web/js/screens/asking-sums.js';

const read = (name) => JSON.parse(readFileSync(new URL(`../vectors/${name}`, import.meta.url)));
const books = read('pricing_books.json');
const told = (cases) => cases.filter(({ answer }) => answer.ok);
const asks = told(read('asking.json').asks);
const offers = told(read('offers.json').pieces);

function addsUp(rows, worth) {
  assert.equal(rows.at(-1).amount, worth);
  assert.equal(rows.slice(0, -1).reduce((sum, { amount }) => sum + amount, 0), worth);
  assert.ok(rows.every(({ amount }) => Number.isSafeInteger(amount)));
}

test('what a plan is worth is the sum of its parts, each as it is worked out', () => {
  assert.ok(asks.length > 10);
  for (const { book, answer } of asks) {
    const { money } = books[book];
    const rows = planSum(answer.plan, answer, money);
    addsUp(rows, answer.plan.value);
    const { hold } = termsOf(money);
    const standing = hold > 0 ? rows.at(-2).amount : 0;
    // Days are said whole, and every part is rounded once: the last one takes what that leaves.
    assert.ok(Math.abs(standing + hold * answer.plan.days) <= hold / 2 + rows.length, book);
    const lost = rows[answer.plan.steps.length].amount;
    assert.ok(Math.abs(lost - (1 - answer.plan.chance) * answer.letGo) <= rows.length);
  }
});

test('what each answer to an offer is worth is the sum of its parts', () => {
  assert.ok(offers.length > 5);
  for (const { book, answer, data } of offers) {
    const [taking, waiting, saying] = offerSums(answer, books[book].money);
    addsUp(taking.rows, answer.take);
    addsUp(waiting.rows, answer.wait);
    if (answer.counter) addsUp(saying.rows, answer.counter.value);
    const { hold } = termsOf(books[book].money);
    const fails = answer.noShow * (answer.wait - hold * (data.hold_days ?? 0));
    assert.ok(Math.abs(taking.rows[1].amount - fails) <= 2);
    if (!answer.counter) continue;
    const refused = (1 - answer.counter.yes) * (answer.wait + Math.max(answer.wait, answer.take)) / 2;
    assert.ok(Math.abs(saying.rows[1].amount - refused) <= 3);
  }
});
