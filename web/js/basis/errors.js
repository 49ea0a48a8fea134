/** The one error family and its table of codes; mirrors basis/errors.py. */

/**
 * One finding: where, which code, and what to say; sometimes with more (`clock`).
 * @typedef {{path: string, code: string, message: string, [more: string]: unknown}} Detail
 */

/** @typedef {Record<string, string | number>} Values what fills the `{places}` of a message */

/**
 * Code to [message with `{places}`, HTTP status].
 * @type {Record<string, [string, number]>}
 */
export const ERRORS = {
  bad_json: ['The body is not JSON that can be read: {reason}', 400],
  bad_gzip: ['The compressed body cannot be unpacked; send it again', 400],
  bad_field: ['Some values cannot be taken; see the details', 422],
  bad_cursor: ['The cursor is not one that this server gave out', 400],
  unknown_call: ['There is no call {call} here', 404],
  wrong_method: ['{call} cannot be called with {method}', 405],
  wrong_content_type: ['Send the body as {expected}', 415],
  not_found: ['There is no such thing here', 404],
  not_paired: ['This device is not paired with the household; pair it first', 401],
  revoked: ['This device was taken off the household; what it has not sent stays on it', 401],
  other_household: ['These records belong to another household; they stay on the device', 409],
  clock_ahead: ["The device's clock is ahead of home; set it right and resend", 409],
  too_large: ['That is too large: at most {limit}', 413],
  too_many_tries: ['Too many tries; wait {seconds} seconds', 429],
  bad_code: ['That code is not right; look at it again', 403],
  code_spent: ['That code was used or is too old; have a new one shown', 403],
  wrong_host: ['Open Crestrail at {origin}; this address will not do', 421],
  not_allowed: ['That is not allowed here: {reason}', 403],
  conflict: ['That does not go with what is there already: {reason}', 409],
  disk_full: ["The home computer's disk is full; make room, nothing was taken", 507],
  upgrade_failed: [
    'The database could not be brought up to date and is as it was before. Start the version ' +
      'you had until now, and report this: {reason}. {copy}',
    500,
  ],
  internal: ['Something went wrong at home; nothing was changed. Try again', 500],
  not_an_answer: ['What answered was not the home computer', 502],
  photo_has_metadata: ['The picture still carries camera data; save it anew without it', 422],
  photo_not_jpeg: ['The picture is not a JPEG that can be opened', 422],
  photo_hash_mismatch: ["The picture's bytes are not those it is named for", 422],
  photo_too_large: ['The picture is too large: at most {limit}', 413],
  unknown_type: ['There is no record type {name}', 422],
  bad_name: ['Field names are lower-case letters, digits and _, at most 40', 422],
  too_many_fields: ['At most {max} fields', 422],
  required: ['This is needed', 422],
  no_stamp: ['The group {group} has no stamp', 422],
  bad_stamp: ['That is not a stamp: 12 hex digits, 4 and 16, lower case, hyphens between', 422],
  wrong_type: ['This has to be {expected}', 422],
  bad_text: ['The text holds characters that cannot be kept (NUL, half a pair)', 422],
  too_short: ['At least {min} characters', 422],
  too_long: ['At most {max} characters', 422],
  too_small: ['At least {min}', 422],
  too_big: ['At most {max}', 422],
  too_few: ['At least {min} entries', 422],
  too_many: ['At most {max} entries', 422],
  twice: ['The same entry stands there twice', 422],
  unknown_choice: ['Choose one of {choices}', 422],
  too_deep: ['Nested too deeply: at most {max} levels', 422],
  bad_number: ['Numbers have to lie within ±9,007,199,254,740,991', 422],
  bad_money: ['“{text}” is not an amount; write it like 12.50 or 1,200', 422],
  money_two_ways: ['“{text}” can be read in two ways; leave out the thousands mark', 422],
  money_too_large: ['“{text}” is larger than any amount taken here', 422],
  bad_quantity: ['“{text}” is not a measure; write it like 30, 30.5 or 30 1/2', 422],
  bad_instant: ['“{text}” is not a moment like 2026-05-01T14:03:00.000Z', 422],
  bad_date: ['“{text}” is not a calendar day like 2026-05-01', 422],
  bad_zone: ['There is no time zone “{text}”; one is for instance Europe/Paris', 422],
  code_length: ['A tag code has 9 letters and digits; this one has {count}', 422],
  code_symbol: ['“{symbol}” is never in a tag code; look again', 422],
  code_check: ['One letter or digit of the code is off; look again', 422],
};

/**
 * The message of an error code with its places filled; throws for an unknown code or place.
 * @param {string} code
 * @param {Values} [values]
 * @returns {string}
 */
export function messageOf(code, values = {}) {
  const kind = ERRORS[code];
  if (!kind) throw new Error(`no such error code: ${code}`);
  return kind[0].replace(/\{([a-z]+)\}/g, (_, name) => {
    if (!(name in values)) throw new Error(`the message of ${code} needs ${name}`);
    return String(values[name]);
  });
}

/**
 * One finding about the value at `path`.
 * @param {string} path
 * @param {string} code
 * @param {Values} [values]
 * @returns {Detail}
 */
export function detail(path, code, values = {}) {
  return { path, code, message: messageOf(code, values) };
}

/** A refusal, our own or one that home answered: code, message, status and details. */
export class CrestrailError extends Error {
  /**
   * @param {string} code a code of the table
   * @param {Values} [values] fill the places of the message
   * @param {Detail[]} [details]
   */
  constructor(code, values = {}, details = []) {
    super(messageOf(code, values));
    this.name = 'CrestrailError';
    this.code = code;
    this.status = ERRORS[code][1];
    this.details = details;
  }

  /**
   * The error that an answer of home says; `not_an_answer` where it is not in our shape (a
   * login page, a proxy). A code that this version does not know keeps its message.
   * @param {number} status HTTP status
   * @param {unknown} body the parsed JSON, or null where it was none
   * @returns {CrestrailError}
   */
  static fromAnswer(status, body) {
    const said = /** @type {Record<string, unknown>} */ (body ?? {});
    const isOurs = typeof said.code === 'string' && typeof said.message === 'string';
    const error = new CrestrailError(isOurs ? 'internal' : 'not_an_answer');
    error.status = status;
    if (!isOurs) return error;
    error.code = String(said.code);
    error.message = String(said.message);
    error.details = Array.isArray(said.details) ? said.details : [];
    return error;
  }
}
