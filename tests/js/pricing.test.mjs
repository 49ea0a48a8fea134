// The phone's pricing against tests/vectors/pricing.json, written by the Python side.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { nearestSales, why } from '../../web/js/pricing/comps.js';
import { pricedFind } from '../../web/js/pricing/figures.js';
import { Problems, readFind } from '../../web/js/pricing/find.js';
import { inverse, phi } from '../../web/js/pricing/normal.js';
import { atAsk, maxOffer } from '../../web/js/pricing/offer.js';
import { chanceWords, level, priceFind } from '../../web/js/pricing/pad.js';
import { CAVEATS, NOTHING, WATERFALL, duration, sentences } from '../../web/js/pricing/words.js';

const read = (name) => JSON.parse(readFileSync(new URL(`../vectors/${name}`, import.meta.url)));
const vectors = read('pricing.json');
const books = read('pricing_books.json');
const WITHIN = 1e-9;
const money = (minor) => (minor / 100).toFixed(2);

function near(actual, wanted, where) {
  const off = Math.abs(actual - wanted);
  assert.ok(off <= WITHIN * Math.max(Math.abs(actual), Math.abs(wanted)) + 1e-300,
    `${where}: ${actual} is not ${wanted}`);
}

/** Same shape and same values; numbers that are not whole to 1e-9 of each other. */
function same(actual, wanted, where) {
  if (typeof wanted === 'number' && !Number.isInteger(wanted)) {
    near(actual, wanted, where);
  } else if (wanted !== null && typeof wanted === 'object') {
    assert.deepEqual(Object.keys(actual).sort(), Object.keys(wanted).sort(), where);
    for (const key of Object.keys(wanted)) same(actual[key], wanted[key], `${where}.${key}`);
  } else {
    assert.equal(actual, wanted, where);
  }
}

function figuresOf(book, find) {
  const problems = new Problems();
  const found = readFind(find, problems);
  const priced = problems.details.length > 0 ? null : pricedFind(book, found, problems);
  if (priced === null) return null;
  const { deal } = priced;
  const offer = maxOffer(deal);
  const at = atAsk(deal, found.ask ?? 0);
  return {
    mu: deal.resale.mu, s: deal.resale.s,
    tmu: deal.effort.mu, ts: deal.effort.s, tmean: deal.effort.mean,
    u: deal.u, days: deal.days, cost: deal.cost, salvage: deal.salvage,
    most: offer.most, profitLimit: offer.profitLimit,
    lossLimit: Number.isFinite(offer.lossLimit) ? offer.lossLimit : null,
    ...at,
  };
}

test('there are at least 300 cases', () => {
  assert.ok(vectors.cases.length >= 300);
});

test('the normal distribution agrees with Python', () => {
  for (const [x, wanted] of vectors.phi) near(phi(x), wanted, `phi(${x})`);
  for (const [p, wanted] of vectors.inverse) {
    if (wanted !== null) near(inverse(p), wanted, `inverse(${p})`);
  }
  assert.equal(inverse(0), -Infinity);
  assert.equal(inverse(1), Infinity);
});

test('every answer agrees with Python', () => {
  vectors.cases.forEach((c, i) => {
    same(priceFind(books[c.book], c.find), c.answer, `case ${i} ${JSON.stringify(c.find)}`);
  });
});

test('every figure behind an answer agrees with Python to 1e-9', () => {
  vectors.cases.forEach((c, i) => {
    const figures = figuresOf(books[c.book], c.find);
    if (c.figures === null) assert.equal(figures, null);
    else for (const k of Object.keys(c.figures)) {
      if (c.figures[k] === null) assert.equal(figures[k], null);
      else near(figures[k], c.figures[k], `case ${i} ${k}`);
    }
  });
});

test('the sentences are the same as in Python', () => {
  for (const c of vectors.cases) {
    if (c.answer.ok) assert.deepEqual(sentences(c.answer, money), c.sentences);
  }
  for (const [minutes, wanted] of vectors.duration) assert.equal(duration(minutes), wanted);
});

test('evidence and chances have the same words as in Python', () => {
  for (const [k, n, wanted] of vectors.levels) assert.equal(level(k, n), wanted, `${k} of ${n}`);
  for (const [p, n, wanted] of vectors.chances) assert.equal(chanceWords(p, n), wanted, `${p}`);
});

test('every code that an answer holds has words', () => {
  for (const { answer } of vectors.cases.filter((c) => c.answer.ok)) {
    for (const code of answer.caveats) assert.ok(CAVEATS[code], code);
    for (const row of answer.waterfall) assert.ok(WATERFALL[row.key], row.key);
    if (answer.nothingReason !== null) assert.ok(NOTHING[answer.nothingReason]);
  }
});

test('the nearest own sales agree with Python, and the reasons in words', () => {
  for (const { find, sales, near: wanted, words } of vectors.comps) {
    const found = nearestSales(find, sales);
    same(found, wanted, 'comps');
    assert.deepEqual(found.map((x) => why(x.reasons, { oak: 'Oak' })), words);
  }
});

test('the workings add up to the most to pay', () => {
  for (const c of vectors.cases) {
    const answer = priceFind(books[c.book], c.find);
    if (!answer.ok) continue;
    const rows = answer.waterfall.slice(0, -1);
    assert.equal(rows.reduce((sum, row) => sum + row.amount, 0), answer.most);
  }
});

test('without a book the pad says what is missing', () => {
  for (const book of [null, undefined]) {
    const answer = priceFind(book, { kind: 'desk' });
    assert.equal(answer.ok, false);
    assert.equal(answer.details[0].path, 'book');
  }
});

for (const value of [NaN, Infinity, -1, 1.5, '12', true, [], {}]) {
  test(`a number given as ${JSON.stringify(value)} (${value}) is refused by name`, () => {
    const finds = { ask: { ask: value }, 'typed.likely': { typed: { likely: value } },
      'costs.pickup': { costs: { pickup: value } }, count: { count: value } };
    for (const [path, find] of Object.entries(finds)) {
      const answer = priceFind(books.fresh, { kind: 'desk', ...find });
      assert.equal(answer.ok, false);
      assert.deepEqual(answer.details.map((d) => d.path), [path]);
      assert.ok(answer.details[0].message.length > 5);
    }
  });
}

test('whatever is handed in, the pad answers or names the field', () => {
  let state = 20260501;
  const roll = (n) => {
    state = (state * 1103515245 + 12345) % 2147483648;
    return Math.floor((state / 2147483648) * n);
  };
  const values = [null, undefined, NaN, -Infinity, 0, -1, 1, 7.5, 1e15, '', '5', 'desk', true, [],
    {}, [null], [{}], [{ step: 'gel-stain' }], [[1]], { likely: 1 }, { low: {}, high: [] },
    { minutes: 1e5, supplies: 1e11 }, { price: 1, days: 1000 }, { pickup: 'x' }];
  const names = ['kind', 'traits', 'count', 'found_grade', 'finished_grade', 'steps', 'typed',
    'ask', 'costs', 'kind_typical'];
  let answered = 0;
  for (let i = 0; i < 5000; i += 1) {
    const find = i % 2 === 0 ? { kind: 'desk' } : {};
    for (let k = roll(4); k >= 0; k -= 1) {
      find[names[roll(names.length)]] = values[roll(values.length)];
    }
    const answer = priceFind(books.fresh, find);
    if (answer.ok) {
      answered += 1;
      assert.ok(!/null|NaN|Infinity/.test(JSON.stringify([answer.range, answer.minutes,
        answer.waterfall, answer.mostExact])), JSON.stringify(find));
    } else assert.ok(answer.details.every((d) => d.path && d.code && d.message));
  }
  assert.ok(answered > 500 && answered < 4500, `${answered} answered`);
});

test('a full answer takes far less than a frame', () => {
  const find = { kind: 'desk', traits: ['oak', 'cane'], ask: 2000,
    steps: [{ step: 'deep-clean' }, { step: 'gel-stain', units: 2 }] };
  for (let i = 0; i < 200; i += 1) priceFind(books.many, find);
  const times = Array.from({ length: 101 }, () => {
    const start = performance.now();
    priceFind(books.many, find);
    return performance.now() - start;
  }).sort((a, b) => a - b);
  assert.ok(times[50] < 4, `median ${times[50]} ms`);
});
