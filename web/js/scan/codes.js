/**
 * What a scanned or typed text means. Pure; nothing here ever follows a link: a label can be put
 * up by anybody.
 */
import { SYMBOLS, parseTagCode, tidyCode } from '../basis/ids.js';

/** Letters and digits of a tag code. */
export const CODE_LENGTH = 9;

/**
 * @typedef {{kind: 'tag', code: string}} TagMeaning a tag of this household's server
 * @typedef {{kind: 'pairing', code: string, origin: string}} PairingMeaning a link to add a phone
 * @typedef {{kind: 'damaged', reason: string}} DamagedMeaning a tag of ours with a wrong code
 * @typedef {{kind: 'foreign', host: string, code: string|null}} ForeignMeaning anything else;
 *   `code` where it is a tag's page under another address, `host` empty where it is no address
 * @typedef {TagMeaning|PairingMeaning|DamagedMeaning|ForeignMeaning} Meaning
 */

/**
 * @param {string} text what the symbol says
 * @param {readonly string[]} origins the household's address and those it had before
 * @returns {Meaning}
 */
export function meaningOf(text, origins) {
  const url = asUrl(text.trim());
  if (!url) return plainMeaning(text);
  const own = origins.includes(url.origin);
  const tag = /^\/t\/([^/]+)\/?$/.exec(url.pathname);
  if (tag) return tagMeaning(decoded(tag[1]), own, url.host);
  if (url.pathname === '/pair' && url.hash.length > 1) {
    return { kind: 'pairing', code: decoded(url.hash.slice(1)), origin: url.origin };
  }
  return { kind: 'foreign', host: url.host, code: null };
}

/**
 * @param {string} typed
 * @param {boolean} own
 * @param {string} host
 * @returns {Meaning}
 */
function tagMeaning(typed, own, host) {
  const { code, reason } = parsed(typed);
  if (!own) return { kind: 'foreign', host, code };
  return code ? { kind: 'tag', code } : { kind: 'damaged', reason };
}

/**
 * A text that is no address: a bare code, or not ours at all.
 * @param {string} text
 * @returns {Meaning}
 */
function plainMeaning(text) {
  const tidy = tidyCode(text);
  if (tidy.length !== CODE_LENGTH || ![...tidy].every((symbol) => SYMBOLS.includes(symbol))) {
    return { kind: 'foreign', host: '', code: null };
  }
  const { code, reason } = parsed(tidy);
  return code ? { kind: 'tag', code } : { kind: 'damaged', reason };
}

/**
 * @param {string} typed
 * @returns {{code: string|null, reason: string}}
 */
function parsed(typed) {
  try {
    return { code: parseTagCode(typed), reason: '' };
  } catch (error) {
    return { code: null, reason: /** @type {Error} */ (error).message };
  }
}

/**
 * @param {string} text
 * @returns {URL|null} an http(s) address
 */
function asUrl(text) {
  try {
    const url = new URL(text);
    return url.protocol === 'https:' || url.protocol === 'http:' ? url : null;
  } catch {
    return null;
  }
}

/** @param {string} text */
function decoded(text) {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}

/**
 * @typedef {object} Typed
 * @property {string|null} code the code, once it is whole and right
 * @property {string} hint what is missing or wrong, in words; empty before the first letter
 * @property {boolean} wrong whether something has to be changed rather than added
 */

/**
 * What to say while a person types a code from a label.
 * @param {string} typed
 * @returns {Typed}
 */
export function checkTyped(typed) {
  const tidy = tidyCode(typed);
  if (!tidy) return { code: null, hint: '', wrong: false };
  const strange = [...tidy].find((symbol) => !SYMBOLS.includes(symbol));
  if (strange) return { code: null, hint: strangeWords(strange), wrong: true };
  if (tidy.length < CODE_LENGTH) {
    return { code: null, hint: `${tidy.length} of ${CODE_LENGTH} so far`, wrong: false };
  }
  if (tidy.length > CODE_LENGTH) {
    const more = tidy.length - CODE_LENGTH;
    return { code: null, hint: `${more} too many: a code has ${CODE_LENGTH}`, wrong: true };
  }
  const { code } = parsed(tidy);
  return code ? { code, hint: '', wrong: false } : { code: null, hint: OFF, wrong: true };
}

const OFF =
  'The last letter or digit does not fit the others: one of them is off, or two are swapped. ' +
  'Look at the label again.';

/** @param {string} symbol */
function strangeWords(symbol) {
  const meant = symbol === 'U' ? ' It may be a V.' : '';
  return `“${symbol}” is never in a tag code.${meant} Look at the label again.`;
}

/**
 * The codes a person may have meant: one letter or digit off, or two neighbours swapped.
 * @param {string} typed
 * @param {readonly string[]} known codes of the household's tags
 * @returns {string[]} at most three
 */
export function likelyMeant(typed, known) {
  const tidy = tidyCode(typed);
  if (tidy.length !== CODE_LENGTH) return [];
  return known.filter((code) => code !== tidy && isNear(tidy, code)).slice(0, 3);
}

/**
 * @param {string} typed
 * @param {string} code
 */
function isNear(typed, code) {
  const off = [...code].flatMap((symbol, i) => (symbol === typed[i] ? [] : [i]));
  if (off.length === 1) return true;
  const [first, second] = off;
  return off.length === 2 && second === first + 1 &&
    typed[first] === code[second] && typed[second] === code[first];
}
