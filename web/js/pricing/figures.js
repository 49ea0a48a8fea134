/**
 * A find put in figures: what it brings, the plan of work, the chance to sell, the costs.
 * Mirrors `pricing/figures.py`.
 */
import * as effort from './effort.js';
import { modelFrom } from './linear.js';
import { Z90 } from './normal.js';
import { base, timeCost } from './offer.js';
import * as resale from './resale.js';
import { rateOf, unsoldDays } from './selling.js';

const SMALLEST_SPREAD = 0.02;
/** Below this many own sales every answer is a guess, and chances are said in words. */
export const GUESS_BELOW = 20;
const SLOW_DAYS = 30;
const WIDE_RATIO = 5;
const PPM = 1e-6;
/** Amounts and minutes from here on are refused: far beyond any piece, and near 2**53. */
const LARGEST = 1e14;

/**
 * @typedef {import('./find.js').Find} Find
 * @typedef {import('./offer.js').Deal} Deal
 * @typedef {object} Priced the deal, its two costs in any case, its codes to mention
 * @property {Deal} deal
 * @property {number} supplies
 * @property {number} pickup
 * @property {string[]} caveats
 */

/** @param {any} table @param {string|null} name @returns {any} */
function entry(table, name) {
  return name !== null && Object.hasOwn(table, name) ? table[name] : undefined;
}

/**
 * What the person typed put over the book: low and high are the 10% and 90% points.
 * @param {Find} find
 * @param {resale.Resale} book
 * @returns {resale.Resale}
 */
function typedResale(find, book) {
  const t = find.typed;
  let { mu, s, doubt } = book;
  if (t.likely !== null) mu = Math.log(t.likely);
  else if (t.low !== null && t.high !== null) mu = (Math.log(t.low) + Math.log(t.high)) / 2;
  if (t.low !== null && t.high !== null) {
    s = (Math.log(t.high) - Math.log(t.low)) / (2 * Z90);
  } else if (t.low !== null && Math.log(t.low) < mu) {
    s = (mu - Math.log(t.low)) / Z90;
  } else if (t.high !== null && Math.log(t.high) > mu) {
    s = (Math.log(t.high) - mu) / Z90;
  }
  if (s !== book.s) doubt = 0;
  return { mu, s: Math.max(SMALLEST_SPREAD, s), doubt };
}

/**
 * What the book goes by; a typed price stands in for the typical one of an unknown kind.
 * @param {Find} find
 * @returns {resale.Looks}
 */
export function looksOf(find) {
  let standIn = find.kindPrice ?? find.typed.likely;
  if (standIn === null && find.typed.low !== null) standIn = find.typed.high;
  return {
    kind: find.kind,
    traits: find.traits,
    count: find.count,
    grade: find.finishedGrade,
    kindPrice: standIn,
  };
}

/** @param {any} book @param {Find} find @returns {resale.Resale|null} */
function resaleOf(book, find) {
  const predicted = resale.predict(modelFrom(book.price), looksOf(find), book.price.v0);
  return predicted === null ? null : typedResale(find, predicted);
}

/** @param {any} book @param {Find} find @returns {string[]} */
function standingSteps(book, find) {
  const chosen = new Set(find.steps.map((s) => s.step));
  return Object.keys(book.steps).filter((k) => book.steps[k].standing && !chosen.has(k));
}

/** @param {any} book @param {string} step @returns {boolean} */
function isStanding(book, step) {
  return entry(book.steps, step)?.standing === true;
}

/**
 * The rows of work whose time counts: chosen steps, or typed minutes, and standing steps.
 * @param {any} book
 * @param {Find} find
 * @returns {Array<{row: effort.PlanRow, standing: boolean}>}
 */
function plan(book, find) {
  const model = modelFrom(book.effort);
  const everything = book.money.wage_covers === 'everything';
  /** @type {ReturnType<typeof plan>} */
  const rows = [];
  if (find.typed.minutes) rows.push({ row: effort.typedRow(find.typed.minutes), standing: false });
  for (const s of find.steps) {
    const standing = isStanding(book, s.step);
    if ((find.typed.minutes !== null && !standing) || (standing && !everything)) continue;
    if (model.index.has(`step:${s.step}`)) {
      rows.push({ row: effort.stepRow(model, s.step, s.units, find.foundGrade), standing });
    } else if (s.minutes) {
      rows.push({ row: effort.newStepRow(model, s.minutes, book.effort.v0), standing });
    }
  }
  if (!everything) return rows;
  for (const name of standingSteps(book, find)) {
    if (model.index.has(`step:${name}`)) {
      rows.push({ row: effort.stepRow(model, name, 1, find.foundGrade), standing: true });
    }
  }
  return rows;
}

/**
 * The minutes at the bench alone, without the steps that every piece needs.
 * @param {any} book
 * @param {Find} find
 */
export function benchEffort(book, find) {
  const rows = plan(book, find).filter(({ standing }) => !standing).map(({ row }) => row);
  return effort.total(modelFrom(book.effort), rows, book.effort.rho);
}

/**
 * Supplies of the plan in minor units; a typed figure replaces those of chosen bench work.
 * @param {any} book
 * @param {Find} find
 */
function suppliesOf(book, find) {
  let total = 0;
  for (const s of find.steps) {
    const known = entry(book.steps, s.step);
    if (known && (find.typed.supplies === null || known.standing)) {
      total += known.supplies * s.units;
    }
  }
  for (const name of standingSteps(book, find)) total += book.steps[name].supplies;
  return total + (find.typed.supplies ?? 0);
}

/**
 * The person's terms out of the money block of a book.
 * @param {any} money
 * @returns {import('./offer.js').Terms}
 */
export function termsOf(money) {
  return {
    fee: money.fee_ppm * PPM,
    feeFixed: money.fee_fixed,
    delivery: money.delivery_cost,
    hold: money.hold_per_day,
    wage: money.wage_per_hour,
    minProfit: money.min_profit,
    tolerance: money.tolerance_ppm * PPM,
  };
}

/**
 * Codes of what the person should know about this answer, the gravest first.
 * @param {any} book
 * @param {Find} find
 * @param {Deal} deal
 * @returns {string[]}
 */
function caveatsOf(book, find, deal) {
  const names = new Set(book.price.names);
  const t = find.typed;
  const days = entry(book.kinds, find.kind)?.days ?? find.kindDays ?? 0;
  const bench = t.minutes !== null || find.steps.some((s) => !isStanding(book, s.step));
  const stepsKnown = find.steps.every((s) => entry(book.steps, s.step) || s.minutes !== null);
  /** @type {Array<[string, boolean]>} */
  const said = [
    ['guess', book.counts.sales < GUESS_BELOW],
    ['typed_price', !(t.likely === null && t.low === null && t.high === null)],
    ['unknown_kind', !names.has(`kind:${find.kind}`)],
    ['slow_kind', days > SLOW_DAYS],
    ['tolerance_low', deal.terms.tolerance <= deal.u],
    ['wide_range', resale.high(deal.resale) > WIDE_RATIO * resale.low(deal.resale)],
    ['unknown_trait', find.traits.some((name) => !names.has(`trait:${name}`))],
    ['unknown_step', !stepsKnown],
    ['no_steps', !bench],
  ];
  return said.filter(([, holds]) => holds).map(([code]) => code);
}

/** @param {Deal} deal */
function withinReason(deal) {
  const parts = [
    resale.mean(deal.resale), effort.high(deal.effort), timeCost(deal), deal.cost, base(deal),
  ];
  return parts.every((part) => Math.abs(part) < LARGEST);
}

/**
 * Whether a typed low or high stands on the wrong side of the likely price; noted if so.
 * @param {Find} find
 * @param {resale.Resale} brings
 * @param {import('./find.js').Problems} problems
 */
function crossed(find, brings, problems) {
  const { low, high } = find.typed;
  const reason = 'low, likely, high have to rise';
  if (low !== null && Math.log(low) > brings.mu) {
    problems.add('typed.low', 'conflict', { reason });
    return true;
  }
  if (high !== null && Math.log(high) < brings.mu) {
    problems.add('typed.high', 'conflict', { reason });
    return true;
  }
  return false;
}

/**
 * The find in figures; null, with the problem noted, where it cannot be priced.
 * @param {any} book
 * @param {Find} find
 * @param {import('./find.js').Problems} problems
 * @returns {Priced|null}
 */
export function pricedFind(book, find, problems) {
  const brings = resaleOf(book, find);
  if (brings === null) {
    problems.add(find.kind === null ? 'kind' : 'typed.likely', 'required');
    return null;
  }
  if (crossed(find, brings, problems)) return null;
  const { u, days } = unsoldDays(rateOf(book.sell, find.kind, find.kindDays), book.sell);
  const supplies = suppliesOf(book, find);
  const { pickup } = find;
  const deal = {
    resale: brings,
    effort: effort.total(
      modelFrom(book.effort), plan(book, find).map(({ row }) => row), book.effort.rho,
    ),
    u,
    days,
    cost: supplies + pickup,
    salvage: book.money.salvage_ppm * PPM * resale.likely(brings),
    terms: termsOf(book.money),
  };
  if (!withinReason(deal)) {
    problems.add('steps', 'too_big', { max: LARGEST });
    return null;
  }
  return { deal, supplies, pickup, caveats: caveatsOf(book, find, deal) };
}
