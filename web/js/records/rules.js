/**
 * What should hold between the fields of a record; mirrors records/rules.py. A merged record is
 * never refused for these: what does not fit is named, and stands under "needs settling".
 */

/** @typedef {Record<string, any>} Fields */
/** @typedef {(fields: Fields) => boolean} Broken */
/** @typedef {[code: string, message: string, isBroken: Broken]} Rule */

const MINUTE_MS = 60_000;
const DAY_MS = 86_400_000;
export const LONGEST_STINT_MINUTES = 16 * 60;

/** @type {(value: unknown) => boolean} */
const isThere = (value) => value !== null && value !== undefined;

/**
 * Whether the values that are there fall somewhere in this order (numbers or moments).
 * @param {...string} names
 * @returns {Broken}
 */
function rising(...names) {
  return (fields) => {
    const values = names.map((name) => fields[name]).filter(isThere);
    return values.some((value, i) => i > 0 && values[i - 1] > value);
  };
}

/**
 * Whether all of the fields are there.
 * @param {...string} names
 * @returns {Broken}
 */
function both(...names) {
  return (fields) => names.every((name) => isThere(fields[name]));
}

/**
 * Whether the two fields are there and equal.
 * @param {string} a
 * @param {string} b
 * @returns {Broken}
 */
function same(a, b) {
  return (fields) => isThere(fields[a]) && fields[a] === fields[b];
}

/**
 * Whether the day is further than one from the moment's day in UTC (no zone is that far).
 * @param {string} at
 * @param {string} on
 * @returns {Broken}
 */
function dayApart(at, on) {
  return (fields) => {
    if (!isThere(fields[at]) || !isThere(fields[on])) return false;
    const gap = Date.parse(fields[at].slice(0, 10)) - Date.parse(fields[on]);
    return Math.abs(gap) > DAY_MS;
  };
}

/**
 * Whole minutes of a stint from start to stop, a begun one counted; null without both.
 * @param {Fields} fields
 * @returns {number | null}
 */
function stretchMinutes({ started_at: start, stopped_at: stop }) {
  if (!isThere(start) || !isThere(stop)) return null;
  return Math.ceil((Date.parse(stop) - Date.parse(start)) / MINUTE_MS);
}

/** @type {Broken} */
function worksLongerThanStretch(fields) {
  const stretch = stretchMinutes(fields);
  return stretch !== null && stretch >= 0 && stretch < (fields.minutes ?? 0);
}

/** @type {Broken} */
function isEndless(fields) {
  return (stretchMinutes(fields) ?? 0) > LONGEST_STINT_MINUTES;
}

/** @type {Broken} */
function noWeight(fields) {
  return fields.child_weight === 0 && fields.parent_weight === 0;
}

/** @type {Broken} */
function counteredWithoutAmount(fields) {
  return fields.answer === 'countered' && !isThere(fields.counter);
}

const DAY_MESSAGE = 'The day and the moment are more than a day apart.';

/** @type {Rule} */
const WHEN = ['day_apart', DAY_MESSAGE, dayApart('at', 'on')];

/** @type {Record<string, Rule[]>} */
export const RULES = {
  outing: [
    ['ends_before_start', 'The outing ends before it starts.', rising('at', 'ended_at')],
    [
      'odometer_falls',
      'The odometer reads less at the end than at the start.',
      rising('odometer_start_m', 'odometer_end_m'),
    ],
  ],
  piece: [
    [
      'estimate_order',
      'Low, likely and high are not in this order.',
      rising('low', 'likely', 'high'),
    ],
    [
      'grade_falls',
      'The finished grade is below the grade it was found in.',
      rising('found_grade', 'finished_grade'),
    ],
    [
      'opening_and_bought',
      'It was there at the start and was bought later.',
      both('opening_on', 'purchase_id'),
    ],
    ['kept_and_let_go', 'It was kept and let go.', both('kept_at', 'let_go_at')],
  ],
  purchase: [
    [
      'fetched_before_bought',
      'It was fetched before it was bought.',
      rising('at', 'fetched_at'),
    ],
  ],
  stint: [
    [
      'stops_before_start',
      'The work stops before it starts.',
      rising('started_at', 'stopped_at'),
    ],
    [
      'minutes_too_many',
      'More minutes than there are between start and stop.',
      worksLongerThanStretch,
    ],
    [
      'stint_endless',
      'The work took more than 16 hours: did the timer run on?',
      isEndless,
    ],
    ['day_apart', DAY_MESSAGE, dayApart('started_at', 'on')],
  ],
  want: [['over_before_start', 'It is over before it starts.', rising('on', 'until_on')]],
  inquiry: [
    ['closed_before_start', 'It was closed before it came.', rising('at', 'closed_at')],
  ],
  offer: [
    ['counter_missing', 'It was countered, but with no amount.', counteredWithoutAmount],
    ['counter_below', 'The counter is below what was offered.', rising('amount', 'counter')],
  ],
  hold: [
    ['over_before_start', 'The hold is over before it starts.', rising('at', 'until_at')],
  ],
  sale: [
    [
      'handed_over_before_sale',
      'It was handed over before it was sold.',
      rising('at', 'handed_over_at'),
    ],
    ['fee_above_price', 'The fee is more than the price.', rising('fee', 'price')],
  ],
  split: [
    ['split_of_itself', 'A piece cannot be split off itself.', same('parent_id', 'child_id')],
    ['no_weight', 'No share is left for either part.', noWeight],
  ],
  same_as: [
    [
      'same_as_itself',
      'Both sides are the same record already.',
      same('duplicate_id', 'survivor_id'),
    ],
  ],
};

/**
 * Code and message of every rule that a record's fields break; empty when all fits.
 * @param {string} typeName
 * @param {Fields} fields
 * @returns {[code: string, message: string][]}
 */
export function brokenRules(typeName, fields) {
  const rules = [...(RULES[typeName] ?? []), WHEN];
  return rules.filter(([, , isBroken]) => isBroken(fields)).map(([code, said]) => [code, said]);
}
