import { CrestrailError } from '../basis/errors.js';

const GZIP_FROM = 1024;
const JSON_TYPE = 'application/json';

/** @type {typeof globalThis.fetch} the browser's own */
export const networkFetch = (...args) => globalThis.fetch(...args);

/** Nobody answered in time, or what answered was not home. The phone keeps what it has. */
export class Away extends Error {
  /** @param {string} reason */
  constructor(reason) {
    super(reason);
    this.name = 'Away';
  }
}

/**
 * @typedef {object} CallOptions
 * @property {string} [method]
 * @property {any} [json] the body
 * @property {Blob} [blob] the body, when it is a picture
 * @property {number} [timeout] ms; no call is unbounded
 * @property {"json"|"blob"} [want]
 */

/**
 * The one place that talks to the network. `navigator.onLine` is not asked: only an answer of
 * home itself counts, in JSON (or as the picture asked for) and with a status that was expected.
 */
export class Transport {
  /**
   * @param {typeof globalThis.fetch} fetch
   * @param {string} origin '' for the page's own
   */
  constructor(fetch, origin = '') {
    this.fetch = fetch;
    this.origin = origin;
    this.bytesOut = 0;
    this.calls = 0;
  }

  /**
   * @param {string} path
   * @param {CallOptions} [options]
   * @returns {Promise<any>} the JSON answered, or the Blob; null for an answer without a body
   * @throws {Away} nobody answered; {@link CrestrailError} home said no
   */
  async call(path, options = {}) {
    const answer = await this.#ask(path, options);
    const type = answer.headers.get('content-type') ?? '';
    if (answer.ok && options.want === 'blob' && !type.includes('html')) return this.#blob(answer);
    if (answer.status === 204) return null;
    const data = type.startsWith(JSON_TYPE) ? await parsed(answer) : undefined;
    if (data === undefined) throw new Away('what answered was not home');
    if (answer.ok) return data;
    const said = CrestrailError.fromAnswer(answer.status, data);
    throw said.code === 'not_an_answer' ? new Away(said.message) : said;
  }

  /**
   * @param {string} path
   * @param {CallOptions} options
   */
  async #ask(path, options) {
    const { body, headers } = await packed(options);
    this.calls += 1;
    this.bytesOut += body?.size ?? 0;
    try {
      return await this.fetch(this.origin + path, {
        method: options.method ?? (body ? 'POST' : 'GET'),
        body,
        headers,
        cache: 'no-store',
        redirect: 'error',
        credentials: 'same-origin',
        signal: AbortSignal.timeout(options.timeout ?? 15_000),
      });
    } catch (error) {
      throw new Away(String(/** @type {any} */ (error)?.name ?? error));
    }
  }

  /** @param {Response} answer */
  async #blob(answer) {
    try {
      return await answer.blob();
    } catch {
      throw new Away('the answer broke off');
    }
  }
}

/** @param {Response} answer */
async function parsed(answer) {
  try {
    return await answer.json();
  } catch {
    throw new Away('the answer broke off');
  }
}

/**
 * @param {CallOptions} options
 * @returns {Promise<{body: Blob|undefined, headers: Record<string, string>}>}
 */
async function packed({ json, blob }) {
  if (blob) return { body: blob, headers: { 'content-type': blob.type, accept: JSON_TYPE } };
  if (json === undefined) return { body: undefined, headers: { accept: JSON_TYPE } };
  const plain = new Blob([JSON.stringify(json)], { type: JSON_TYPE });
  const headers = { 'content-type': JSON_TYPE, accept: JSON_TYPE };
  if (plain.size < GZIP_FROM || typeof CompressionStream === 'undefined') {
    return { body: plain, headers };
  }
  const stream = plain.stream().pipeThrough(new CompressionStream('gzip'));
  const body = await new Response(stream).blob();
  return { body, headers: { ...headers, 'content-encoding': 'gzip' } };
}
