/**
 * Pages of changes to send, and what the outbox holds, as pure functions.
 *
 * @typedef {import('../store/types.js').OutboxEntry} OutboxEntry
 * @typedef {import('../store/types.js').Change} Change
 * @typedef {{change: Change, entries: OutboxEntry[]}} Sent a change and the entries it carries
 */

/**
 * The next page: the outbox in its order, entries of one record joined as long as no group was
 * written twice (each written value is to reach the history) and none is to go alone, and not more
 * than `bytes`, but always at least one change.
 * @param {OutboxEntry[]} entries
 * @param {{bytes: number, changes: number}} limits
 * @returns {Sent[]}
 */
export function nextPage(entries, limits) {
  /** @type {Sent[]} */
  const page = [];
  /** @type {Map<string, Sent>} the newest change of each record */
  const last = new Map();
  let room = limits.bytes;
  for (const entry of entries) {
    const size = JSON.stringify(entry.change).length;
    if (page.length && (room < size || page.length >= limits.changes)) break;
    room -= size;
    const name = `${entry.change.type} ${entry.change.id}`;
    const open = last.get(name);
    if (open && canJoin(open, entry)) {
      open.change = joined(open.change, entry.change);
      open.entries.push(entry);
    } else {
      const sent = { change: entry.change, entries: [entry] };
      page.push(sent);
      last.set(name, sent);
    }
  }
  return page;
}

/**
 * @param {Sent} open
 * @param {OutboxEntry} entry
 */
const canJoin = ({ change: first, entries }, { change: second, alone }) =>
  !alone && !entries[0].alone && !first.erase && !second.erase
  && !Object.keys(second.stamps).some((g) => g in first.stamps);

/**
 * Two changes of one record as one. It takes the later key: the earlier one may have been sent
 * already, alone, and a key names one content only.
 * @param {Change} first
 * @param {Change} second
 * @returns {Change}
 */
const joined = (first, second) => ({
  ...second,
  fields: { ...first.fields, ...second.fields },
  stamps: { ...first.stamps, ...second.stamps },
  bases: { ...first.bases, ...second.bases },
});
