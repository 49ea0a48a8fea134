const RUN_OUT = 'The home computer\'s certificate may have run out. Start Crestrail on it: '
  + 'it renews itself. Then open this page again.';

/**
 * What to say when home does not answer. A browser tells a page nothing of why a call failed, so
 * the end that home named earlier is all there is to go by.
 * @param {string|null|undefined} ends the instant that home named last, if it named any
 * @param {Date} now
 * @returns {string} empty where the certificate is still good, or unknown
 */
export function certificateWords(ends, now) {
  return ends && now.getTime() >= Date.parse(ends) ? RUN_OUT : '';
}
