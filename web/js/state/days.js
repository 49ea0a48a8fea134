const PARTS = /** @type {const} */ ({ year: 'numeric', month: '2-digit', day: '2-digit' });

/** @type {Map<string|undefined, Intl.DateTimeFormat>} */
const formats = new Map();

/**
 * @param {string} [zone]
 * @returns {Intl.DateTimeFormat}
 */
function formatOf(zone) {
  let format = formats.get(zone);
  if (!format) {
    try {
      format = new Intl.DateTimeFormat('en-CA', { ...PARTS, timeZone: zone || undefined });
    } catch {
      format = new Intl.DateTimeFormat('en-CA', PARTS);
    }
    formats.set(zone, format);
  }
  return format;
}

/**
 * The calendar day in a time zone as 2026-05-01; in the phone's own zone where none is set yet,
 * or it is one the phone does not know.
 * @param {number} ms
 * @param {string} [zone] an IANA name
 */
export const dayOf = (ms, zone) => formatOf(zone).format(ms);
