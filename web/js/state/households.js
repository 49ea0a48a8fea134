import { newDeviceId, systemRandom } from '../basis/ids.js';
import { Transport, networkFetch } from '../sync/transport.js';

/** @typedef {import('./env.js').Identity} Identity */

const PLACE = 'crestrail.households';

/**
 * The households that this phone belongs to, the one used last first.
 * @returns {Identity[]}
 */
export function knownHouseholds() {
  try {
    const found = JSON.parse(localStorage.getItem(PLACE) ?? '[]');
    return Array.isArray(found) ? found : [];
  } catch {
    return [];
  }
}

/**
 * Put a household first: it is the one that opens.
 * @param {Identity} identity
 */
export function rememberHousehold(identity) {
  const others = knownHouseholds().filter((known) => known.id !== identity.id);
  localStorage.setItem(PLACE, JSON.stringify([identity, ...others]));
}

/**
 * Become a device of a household by the code that home shows. A phone that was of this
 * household before, or is the same phone in another browser, says so by `replaces`.
 * @param {{code: string, name: string, replaces?: string}} wanted
 * @returns {Promise<Identity>} also remembered: open the app again and it is there
 * @throws {import('../basis/errors.js').CrestrailError} `bad_code`, `code_spent`,
 *   `too_many_tries`; an `Away` error when nobody answers
 */
export async function pairPhone({ code, name, replaces }) {
  const transport = new Transport(networkFetch);
  const device = replaces ?? newDeviceId(systemRandom);
  const json = { code, name, device, ...(replaces ? { replaces } : {}) };
  const answer = await transport.call('/api/pair', { json });
  const { household: id, household_name, origin } = answer;
  return remembered({ id, device: answer.device, name: household_name, origin }, transport);
}

/**
 * The household to open: the one used last; where this browser's memory was cleared but home
 * still knows it, the one that home names; null for a phone that was never paired.
 * @returns {Promise<Identity|null>}
 */
export async function findHousehold() {
  const [first] = knownHouseholds();
  if (first) return first;
  const transport = new Transport(networkFetch);
  try {
    return await adopted(transport);
  } catch {
    return null;
  }
}

/**
 * @param {Transport} transport
 * @returns {Promise<Identity|null>}
 */
async function adopted(transport) {
  const hello = await transport.call('/api/hello', { timeout: 4_000 });
  if (hello.app !== 'crestrail' || !hello.household || !hello.device) return null;
  const { household: id, device, household_name: name, origin, sample } = hello;
  const identity = { id, device, name, origin, sample };
  rememberHousehold(identity);
  return identity;
}

/**
 * @param {Identity} identity
 * @param {Transport} transport
 */
async function remembered(identity, transport) {
  rememberHousehold(identity);
  const whole = await adopted(transport).catch(() => null);
  return whole ?? identity;
}
