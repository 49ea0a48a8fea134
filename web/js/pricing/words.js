/** The pad's answer in the short plain words that are shown. Mirrors `pricing/words.py`. */

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

/** @param {import('./pad.js').AtAsk} at */
function chanceOfLoss(at) {
  const rough = { low: 'A low chance', some: 'Some chance', high: 'A high chance' };
  const said = Object.hasOwn(rough, at.lossWords)
    ? rough[/** @type {'low'|'some'|'high'} */ (at.lossWords)]
    : `A chance of ${at.lossWords}`;
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
    chance: at === null ? null : chanceOfLoss(at),
    evidence: evidenceWords(answer.evidence),
    caveats: answer.caveats.map((code) => CAVEATS[code]),
  };
}
