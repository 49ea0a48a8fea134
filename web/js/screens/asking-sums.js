/** How the answers about asking and offers add up, part by part. Pure. */

import { toMinor } from "../basis/rounding.js";
import { net } from "../pricing/asking.js";
import { termsOf } from "../pricing/figures.js";
import { onSale } from "../pricing/offer.js";
import { moneyWords } from "../ui/words.js";
import { inTen } from "./asking-words.js";

/**
 * @typedef {import("../pricing/asking-answer.js").PlanData} PlanData
 * @typedef {import("../pricing/offer-answer.js").OfferAnswer} OfferAnswer
 * @typedef {import("../ui/waterfall.js").WaterfallRow} Row
 */

/**
 * The parts and their sum; one part takes what rounding leaves.
 * @param {[string, number][]} parts
 * @param {[string, number]} last
 * @param {number} rest index of that part
 * @returns {Row[]}
 */
function summed(parts, [label, amount], rest) {
  const rows = parts.map(([name, part]) => ({ label: name, amount: toMinor(part) }));
  rows[rest].amount = rows.reduce((left, row, i) => (i === rest ? left : left - row.amount), amount);
  return [...rows, { label, amount, place: "end" }];
}

/**
 * What a plan is worth: what each price leaves times the chance to sell at it, what is left of a
 * piece that must go, less what keeping it costs.
 * @param {PlanData} plan
 * @param {{letGo: number, haggle: number}} answer
 * @param {any} money of the book
 */
export function planSum({ steps, chance, days, value }, { letGo, haggle }, money) {
  const terms = termsOf(money);
  const market = { fee: terms.fee, onSale: onSale(terms) };
  const sales = steps.map((step, i) => {
    const share = step.chance - (steps[i - 1]?.chance ?? 0);
    const price = net(market, step.list * Math.exp(-haggle));
    return /** @type {[string, number]} */ (
      [`Sold at ${moneyWords(step.list)}: ${inTen(share)}`, share * price]);
  });
  /** @type {[string, number][]} */
  const parts = [...sales, [`Not sold, must go: ${inTen(1 - chance)}`, (1 - chance) * letGo]];
  if (terms.hold > 0) parts.push(["Keeping it until then", -terms.hold * days]);
  return summed(parts, ["Worth to you", value], parts.length - 1);
}

/**
 * What taking, waiting and the counter are worth, each with its heading.
 * @param {OfferAnswer} answer
 * @param {any} money of the book
 * @returns {{caption: string, rows: Row[]}[]}
 */
export function offerSums({ take, wait, counter, offer, noShow, plan, others }, money) {
  const terms = termsOf(money);
  const market = { fee: terms.fee, onSale: onSale(terms) };
  const come = (/** @type {number} */ price) => (1 - noShow) * net(market, price);
  const fails = take - come(offer);
  const sums = [{
    caption: `Taking ${moneyWords(offer)}`,
    rows: summed([
      [`They come and pay: ${inTen(1 - noShow)}`, come(offer)],
      [`They do not come, you wait on: ${inTen(noShow)}`, fails],
    ], ["Worth to you", take], 1),
  }, {
    caption: "Waiting",
    rows: summed([
      ["What the prices below come to", plan.value],
      ...(others ? [/** @type {[string, number]} */ (["Those still thinking add", 0])] : []),
    ], ["Worth to you", wait], others ? 1 : 0),
  }];
  if (!counter) return sums;
  const yes = counter.yes * (come(counter.amount) + fails);
  return [...sums, {
    caption: `Saying ${moneyWords(counter.amount)}`,
    rows: summed([
      [`They say yes: ${inTen(counter.yes)}`, yes],
      [`They say no: ${inTen(1 - counter.yes)}`, 0],
    ], ["Worth to you", counter.value], 1),
  }];
}
