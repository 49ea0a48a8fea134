/**
 * People taken out for good: who asked, offered, bought or sold. What the books need of a record
 * is kept under a new id without the person, because only an erased record loses its history.
 */

import { RECORD_TYPES } from '../records/schema.js';
import { intentsOf } from './saving.js';

/** @typedef {import('./household.js').Household} Household */
/** @typedef {import('../store/types.js').Row} Row */
/** @typedef {import('../store/types.js').Fields} Fields */
/** @typedef {import('./saving.js').Named} Named */

/**
 * A record that names a person; what happens to it. `elsewhere`: it is to be changed by hand, and
 * its history keeps the words.
 * @typedef {{type: string, id: string, fields: Fields, how: "erase"|"keep"|"elsewhere"}} Mention
 */

/** @typedef {Map<string, string|null>} Heirs id that goes -> id of what comes in its place */

/** What of a record says who it was; the rest is the books'. @type {Record<string, Fields>} */
const PERSONAL = {
  sale: { buyer: null, note: null },
  payment: { note: null },
  return: { note: null },
  offer: { note: null },
  hold: { name: null, terms: null },
  delivery: { destination: 'a buyer', note: null },
  purchase: { fetch_where: null, note: null },
  stop: { name: null, place: null, note: null, latitude_udeg: null, longitude_udeg: null },
  expense: { note: null },
  cash_move: { note: null },
  seen_elsewhere: { where: null },
};
/** These are about a person and nothing else. */
const WHOLLY = ['inquiry', 'want'];
/** Words of the household about its own pieces, pictures and trips. */
const ELSEWHERE = ['piece', 'photo', 'outing', 'stint', 'supply', 'spot', 'setting'];

/**
 * Every record that holds a text: a name, a number, a street.
 * @param {Household} household
 * @param {string} text of at least two characters
 * @returns {Mention[]} what can be forgotten first
 */
export function mentionsOf(household, text) {
  const wanted = text.trim().toLowerCase();
  if (wanted.length < 2) return [];
  const types = [...WHOLLY, ...Object.keys(PERSONAL), ...ELSEWHERE];
  return types.flatMap((type) => rowsOf(household, type)
    .filter((row) => textsOf(row).some((value) => value.toLowerCase().includes(wanted)))
    .map((row) => mention(household, row)))
    .filter((one) => one.how !== 'elsewhere' || !one.fields.deleted);
}

/**
 * Who asked about a piece, offered, bought it: all of them but those it is promised to.
 * @param {Household} household
 * @param {string} pieceId
 * @returns {Promise<number>} how many records a person was taken out of
 */
export function forgetPeopleOf(household, pieceId) {
  const about = [...WHOLLY, 'hold', 'offer', 'payment', 'sale', 'delivery']
    .flatMap((type) => rowsOf(household, type).filter((row) => row.fields.piece_id === pieceId));
  const sales = about.filter((row) => row.type === 'sale').map(({ id }) => id);
  const back = rowsOf(household, 'return').filter((row) => sales.includes(row.fields.sale_id));
  return forget(household, [...about, ...back].filter((row) => !isPromised(household, row))
    .map((row) => mention(household, row)));
}

/**
 * Take people out of these records, here and everywhere, in one go; there is no undo.
 * @param {Household} household
 * @param {Mention[]} mentions those to be changed by hand, and those that name nobody, are left
 * @returns {Promise<number>} how many records a person was taken out of
 */
export async function forget(household, mentions) {
  const gone = mentions.filter((one) => one.how === 'erase' || (one.how === 'keep' && isNamed(one)));
  /** @type {Heirs} */
  const heirs = new Map(gone.map(({ id, how }) => [id, how === 'keep' ? household.newId() : null]));
  const wishes = [
    ...gone.filter((one) => one.how === 'keep').map((one) => remade(one, heirs)),
    ...pointers(household, heirs),
    ...overtaken(household, heirs),
  ];
  const erasures = gone.map(({ type, id }) => ({ type, id, fields: {}, bases: {}, erase: true }));
  await household.commit([...erasures, ...intentsOf(household, wishes)]);
  return gone.length;
}

/**
 * Home looks at the records that came in place of others anew; what was to be looked at about the
 * old ones is over.
 * @param {Household} household
 * @param {Heirs} heirs
 * @returns {Named[]}
 */
function overtaken(household, heirs) {
  const names = (/** @type {any} */ version) => Object.values(version ?? {});
  const settled = { settled_at: household.when().at, settled_how: 'A person was forgotten' };
  return household.all('look')
    .filter((look) => !look.settled_at
      && [...names(look.kept), ...names(look.other)].some((id) => heirs.has(id)))
    .map(({ id }) => ({ type: 'look', id, fields: settled }));
}

/** @param {Household} household @param {string} type @returns {Row[]} deleted ones as well */
const rowsOf = (household, type) =>
  [...household.memory.rows.get(type)?.values() ?? []].filter((row) => !row.erased);

/** @param {Row} row @returns {string[]} the texts of a record */
const textsOf = ({ type, fields }) => RECORD_TYPES[type].fields
  .filter((field) => field.type === 'text')
  .map((field) => fields[field.name]).filter((value) => typeof value === 'string');

/**
 * @param {Household} household
 * @param {Row} row
 * @returns {Mention}
 */
function mention(household, { type, id, fields }) {
  const over = type === 'hold' && !isPromised(household, { type, id, fields, stamps: {} });
  const declined = type === 'offer' && fields.answer === 'declined';
  const gone = WHOLLY.includes(type) || over || declined || fields.deleted === true;
  if (ELSEWHERE.includes(type)) return { type, id, fields, how: 'elsewhere' };
  return { type, id, fields, how: gone ? 'erase' : 'keep' };
}

/** @param {Household} household @param {Row} row whether it is a promise that still holds */
const isPromised = (household, { type, fields }) => type === 'hold' && fields.deleted !== true
  && !fields.released_at && fields.until_at > household.when().at;

/** @param {Mention} one whether anything of it says who it was */
const isNamed = ({ type, fields }) =>
  Object.entries(PERSONAL[type]).some(([name, blank]) => (fields[name] ?? null) !== blank
    && fields[name] !== undefined && fields[name] !== null && fields[name] !== '');

/**
 * The record again, without the person, under its new id.
 * @param {Mention} one
 * @param {Heirs} heirs
 * @returns {Named}
 */
function remade({ type, id, fields }, heirs) {
  const kept = Object.entries({ ...fields, ...blanks(type, fields) })
    .map(([name, value]) => [name, heirs.has(value) ? heirs.get(value) : value])
    .filter(([, value]) => value !== null && value !== undefined);
  return { type, id: /** @type {string} */ (heirs.get(id)), fields: Object.fromEntries(kept) };
}

/** @param {string} type @param {Fields} fields @returns {Fields} */
const blanks = (type, fields) => Object.fromEntries(
  Object.entries(PERSONAL[type]).filter(([name]) => fields[name] !== undefined),
);

/**
 * Records that pointed to what is gone point to what came in its place, or nowhere.
 * @param {Household} household
 * @param {Heirs} heirs
 * @returns {Named[]}
 */
function pointers(household, heirs) {
  return Object.entries(RECORD_TYPES).flatMap(([type, { fields }]) => {
    const refs = fields.filter((field) => field.type === 'id' && field.ref);
    return rowsOf(household, type).filter((row) => !heirs.has(row.id)).flatMap((row) => {
      const moved = refs.map(({ name, required }) => ({ name, required, old: row.fields[name] }))
        .filter(({ old, required }) => heirs.has(old) && (heirs.get(old) || !required))
        .map(({ name, old }) => [name, heirs.get(old)]);
      return moved.length ? [{ type, id: row.id, fields: Object.fromEntries(moved) }] : [];
    });
  });
}
