// What to check before paying, by kind.

import { FLAWS, ITEMS, SOURCES } from './data.js';

export { FLAWS };

/**
 * One check before paying, and the flaw to note when it finds something.
 * @typedef {{code: string, text: string, raises: string, deal_breaker: boolean,
 *   source: string}} Check
 */

/**
 * The checks for a kind with these care slugs, what stops the deal first.
 * @param {Iterable<string>} care
 * @returns {Check[]}
 */
export function inspectionFor(care) {
  const mine = new Set(care);
  return ITEMS.filter((item) => !item.care.length || item.care.some((slug) => mine.has(slug))).map(
    (item) => ({
      code: item.code,
      text: item.text,
      raises: item.raises,
      deal_breaker: item.deal_breaker,
      source: item.sources.map((name) => SOURCES[name]).join('; '),
    }),
  );
}

/**
 * A flaw in words; an unknown one (from a newer phone) is shown by its code.
 * @param {string} code
 */
export function flawName(code) {
  return FLAWS.find((flaw) => flaw.code === code)?.name ?? code.replaceAll('-', ' ');
}
