// Which cautions apply to a piece: pure picking from the texts in data.js.

import { CAUTIONS, RECALLS_CHECKED, SOURCES } from './data.js';

/**
 * What is known of a piece.
 * @typedef {object} Situation
 * @property {string[]} [care] care slugs of its kind and of its chosen steps
 * @property {string[]} [flaws] the recorded flaws
 * @property {string|null} [recalls_checked_on] the day on which somebody looked recalls up
 */

/**
 * One caution; `level` is "stop" (walk away), "warn" or "note".
 * @typedef {{code: string, level: string, title: string, text: string, source: string}} Caution
 */

/**
 * Every caution that applies, the gravest first.
 * @param {Situation} situation
 * @returns {Caution[]}
 */
export function cautionsFor(situation) {
  const known = new Set([...(situation.care ?? []), ...(situation.flaws ?? [])]);
  const answered = new Set(situation.recalls_checked_on ? [RECALLS_CHECKED] : []);
  return CAUTIONS.filter((entry) => applies(entry, known, answered)).map((entry) => ({
    code: entry.code,
    level: entry.level,
    title: entry.title,
    text: entry.text,
    source: entry.sources.map((name) => SOURCES[name]).join('; '),
  }));
}

/**
 * Those before which no price is named: walk away.
 * @param {Caution[]} cautions
 */
export function dealBreakers(cautions) {
  return cautions.filter((caution) => caution.level === 'stop');
}

/**
 * @param {{when: string[][], until: string}} entry
 * @param {Set<string>} known
 * @param {Set<string>} answered
 */
function applies(entry, known, answered) {
  if (answered.has(entry.until)) return false;
  return entry.when.some((words) => words.every((word) => known.has(word)));
}
