/** The pad's answer in the short plain words that are shown. Mirrors `pricing/words.py`. */

import { toMinor } from '../basis/rounding.js';

/**
 * @typedef {(minor: number) => string} MoneyFormat writes an amount, for instance "$145"
 *
 * @typedef {object} PadSentences each one sentence or two; null where there is nothing to say
 * @property {string} brings what it brings and the work it needs
 * @property {string} range where most such pieces end up
 * @property {string|null} nothing why nothing can be paid
 * @property {string|null} atAsk what their ask comes to
 * @property {string|null} over how far their ask is above the most to pay
 * @property {string|null} chance the chance of a loss at their ask, with what that means
 * @property {string} evidence what the answer goes by
 * @property {string[]} caveats
 */

/** @type {Record<string, string>} */
export const NOTHING = {
  costs: 'Selling it costs more than it is likely to bring.',
  time: 'It would bring a little, but not enough to pay for your time.',
  min_profit: 'It would pay for your time, but leave less than your least profit.',
  tolerance: 'It may well stand unsold for longer than your limit for losses allows.',
  caution: 'The chance of a loss is above your limit at any price.',
  less_than_note: 'It is worth less to you than your smallest note.',
};

/** @type {Record<string, string>} */
export const CAVEATS = {
  guess: 'A guess: you have fewer than 20 sales of your own yet.',
  typed_price: 'This goes by the price you typed.',
  unknown_kind: 'Your numbers do not know this kind yet.',
  slow_kind: 'A slow kind: it often stands for more than a month.',
  tolerance_low: 'Your limit for losses is below the chance that it stays unsold.',
  wide_range: 'Such pieces bring very different prices.',
  unknown_trait: 'Your numbers do not know one of these looks yet.',
  unknown_step: 'Your numbers do not know one of these steps: its time is not counted.',
  no_steps: 'No bench work is planned.',
};

/** @type {Record<string, string>} */
export const WATERFALL = {
  likely: 'Likely brings',
  more: 'Some bring more',
  unsold: 'Might not sell',
  fees: 'Fees',
  delivery: 'Delivery',
  pickup: 'Pickup',
  supplies: 'Supplies',
  standing: 'Standing cost',
  time: 'Your time',
  min_profit: 'Least profit',
  caution: 'Caution',
  note: 'Down to a whole note',
  short: 'Falls short by',
  most: 'Most to pay',
};

/** @type {Record<string, string>} */
export const GOING_BACK = {
  surplus: 'Profit at their price',
  gone: 'It may be gone',
  way: 'The extra way',
  time: 'Your time on it',
  value: 'Going back is worth',
};

/** @type {Record<string, string>} */
export const NEEDED_TO_GO = {
  book: 'Your numbers come to this phone with the first sync.',
  ask: 'Say first what they asked for it.',
  miles: 'Say how far it is, there and back: 0 or more.',
  minutes: 'Say how many extra minutes it takes, all in all: 0 or more.',
  seen_at: 'It is not known when it was seen, or that lies in the future.',
  closes_at: 'The closing time is not one of the clock.',
  here: 'Where you are cannot be used: type the miles.',
  there: 'Where it stands cannot be used: type the miles.',
};
const NOT_PRICED = 'Your numbers cannot price it yet: bring it back to the pad first.';

export const LOSS_MEANS = 'to get back less cash than you put in.';

/**
 * Minutes in words: "45 min", "1 h", "1 h 20"; to 5 minutes from half an hour on.
 * @param {number} minutes
 */
export function duration(minutes) {
  const shown = minutes < 30 ? minutes : 5 * Math.floor((minutes + 2.5) / 5);
  if (shown < 60) return `${shown} min`;
  const rest = shown % 60;
  const hours = (shown - rest) / 60;
  return rest === 0 ? `${hours} h` : `${hours} h ${rest < 10 ? '0' : ''}${rest}`;
}

/** @param {import('./pad.js').PadAnswer} answer @param {MoneyFormat} money */
function bringsWords(answer, money) {
  const work = answer.minutes.likely > 0
    ? `needs ${duration(answer.minutes.likely)} of work` : 'no work counted';
  return `Likely brings ${money(answer.range.likely)}, ${work}.`;
}

/** @param {import('./pad.js').AtAsk} at @param {MoneyFormat} money */
function askWords(at, money) {
  const start = at.ask === 0 ? 'Free, ' : `At their ${money(at.ask)} `;
  if (at.clear < 0) return `${start}you lose ${money(-at.clear)}.`;
  const hourly = at.hourly === null ? '' : `, ${money(at.hourly)} an hour`;
  return `${start}you clear ${money(at.clear)}${hourly}.`;
}

/**
 * The chance of a loss as a sentence.
 * @param {string} words as in the answer
 */
export function chanceSentence(words) {
  const rough = { low: 'A low chance', some: 'Some chance', high: 'A high chance' };
  const said = Object.hasOwn(rough, words)
    ? rough[/** @type {'low'|'some'|'high'} */ (words)] : `A chance of ${words}`;
  return `${said} ${LOSS_MEANS}`;
}

/** @param {number} n */
function sales(n) {
  return n === 1 ? '1 sale' : `${n} sales`;
}

/** @param {import('./pad.js').PadAnswer['evidence']} evidence */
function evidenceWords(evidence) {
  if (evidence.source === 'typed') return 'From your own figure.';
  if (evidence.ownSales === 0) return 'From what you expect: no sales of your own yet.';
  const ofKind = evidence.ownSalesOfKind === 0 ? 'no sales' : sales(evidence.ownSalesOfKind);
  return `From ${ofKind} of yours of this kind, ${evidence.ownSales} in all.`;
}

/**
 * The sentences of an answer.
 * @param {import('./pad.js').PadAnswer} answer
 * @param {MoneyFormat} money
 * @returns {PadSentences}
 */
export function sentences(answer, money) {
  const at = answer.atAsk;
  const { low, high } = answer.range;
  return {
    brings: bringsWords(answer, money),
    range: `4 of 5 such pieces bring ${money(low)} to ${money(high)}.`,
    nothing: answer.nothingReason === null ? null : NOTHING[answer.nothingReason],
    atAsk: at === null ? null : askWords(at, money),
    over: at === null || at.over === 0 ? null : `Over by ${money(at.over)}.`,
    chance: at === null ? null : chanceSentence(at.lossWords),
    evidence: evidenceWords(answer.evidence),
    caveats: answer.caveats.map((code) => CAVEATS[code]),
  };
}

/** Below this many own returns the chance that a find is still there is said roughly. */
const FEW_RETURNS = 10;

/**
 * The chance that it is still there: rough until there are enough own returns.
 * @param {number} chance
 * @param {number} visits
 */
export function thereWords(chance, visits) {
  if (visits < FEW_RETURNS) {
    if (chance < 0.2) return 'Little chance';
    if (chance < 0.5) return 'Some chance';
    return chance < 0.8 ? 'A good chance' : 'A very good chance';
  }
  const tenths = toMinor(10 * chance);
  if (tenths === 0) return 'Hardly any chance';
  return tenths === 10 ? 'Almost certain' : `About ${tenths} in 10`;
}

/** Hours in words: "40 min", "3 h 20", "2 days". @param {number} hours */
function hoursWords(hours) {
  return hours >= 47.5 ? `${toMinor(hours / 24)} days` : duration(toMinor(hours * 60));
}

/** @param {import('./going-back.js').BackAnswer} answer @param {MoneyFormat} money */
function worthGoing({ worth, value }, money) {
  if (worth === 'go') return `Go back: worth about ${money(value)} after the way and your time.`;
  if (worth === 'nothing_there') return 'Not worth going back: at their price it leaves you nothing.';
  if (value === 0) return 'Not worth going back: the way and your time eat up what it promises.';
  const short = money(-value);
  return `Not worth going back: the way and your time cost ${short} more than it promises.`;
}

/**
 * The sentences of an answer of `goBack`; null where nothing is to be said.
 * @param {import('./going-back.js').BackAnswer} answer
 * @param {MoneyFormat} money
 */
export function backSentences(answer, money) {
  const n = answer.visits;
  const by = n >= FEW_RETURNS
    ? `from ${n} returns of yours` : 'a guess until you have gone back a few times';
  const closed = answer.pastClosing ? ' Its sale will have closed.' : '';
  return {
    worth: worthGoing(answer, money),
    chance: `${thereWords(answer.chance, n)} that it is still there.${closed}`,
    half: `Half of such pieces are gone after ${hoursWords(answer.halfLife)}: ${by}.`,
    miles: answer.perMile === 0 ? 'Your numbers count nothing for a mile.' : null,
  };
}

/**
 * What to do where going back cannot be answered, each thing once.
 * @param {import('./find.js').Problem[]} details
 * @returns {string[]}
 */
export function cureToGo(details) {
  return [...new Set(details.map(({ path }) =>
    (Object.hasOwn(NEEDED_TO_GO, path) ? NEEDED_TO_GO[path] : NOT_PRICED)))];
}

/** @param {number} amount @param {MoneyFormat} money */
function signed(amount, money) {
  return amount > 0 ? `+${money(amount)}` : money(amount);
}

/**
 * What a look does to the price: "Cane seat: +$18, from 7 of your sales (−$2 to +$38).".
 * @param {import('./moves.js').Move} move
 * @param {string} name
 * @param {MoneyFormat} money
 */
export function movedWords({ known, amount, low, high, sales: n }, name, money) {
  if (!known) return `${name}: your numbers do not know it yet.`;
  const between = `(${signed(low, money)} to ${signed(high, money)})`;
  const worth = signed(amount, money);
  if (n > 0) return `${name}: ${worth}, from ${n} of your sales ${between}.`;
  if (amount === 0) return `${name}: no evidence yet.`;
  return `${name}: ${worth}, only from what stands unsold or was seen elsewhere ${between}.`;
}

/** A ratio to one decimal: "1.4 times". @param {number} ratio */
export function timesWords(ratio) {
  const tenths = toMinor(10 * ratio);
  return `${Math.floor(tenths / 10)}.${tenths % 10} times`;
}

/** @type {Record<string, string>} what is said of a pace that leaves no doubt */
export const PACE = {
  longer: 'You usually take longer than you think',
  quicker: 'You are usually quicker than you think',
};

/**
 * A person's own figure against what a step takes them; null where nothing is to be said.
 * @param {import('./effort.js').Pace} pace
 * @param {string} name
 */
export function paceWords({ says, ratio }, name) {
  return Object.hasOwn(PACE, says) ? `${PACE[says]}: ${timesWords(ratio)} on ${name}.` : null;
}
