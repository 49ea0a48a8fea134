/** Stamp groups: which fields are written, stamped and merged together; see records/groups.py. */

import { RECORD_TYPES } from './schema.js';

/** @typedef {import("./schema.js").Field} Field */

/** @type {Map<string, Map<string, Field>>} */
const byName = new Map();

/** @type {Map<string, Map<string, string[]>>} */
const byGroup = new Map();

for (const [typeName, { fields }] of Object.entries(RECORD_TYPES)) {
  byName.set(typeName, new Map(fields.map((field) => [field.name, field])));
  /** @type {Map<string, string[]>} */
  const groups = new Map();
  for (const field of fields) {
    const group = field.group ?? field.name;
    groups.set(group, [...(groups.get(group) ?? []), field.name]);
  }
  byGroup.set(typeName, groups);
}

/**
 * Whether there is such a record type.
 * @param {unknown} typeName
 * @returns {typeName is string}
 */
export function isType(typeName) {
  return typeof typeName === 'string' && byName.has(typeName);
}

/**
 * All fields of a record type by name, `deleted` included; RangeError for an unknown type.
 * @param {string} typeName
 * @returns {Map<string, Field>}
 */
export function fieldsOf(typeName) {
  const fields = byName.get(typeName);
  if (!fields) throw new RangeError(`there is no record type ${typeName}`);
  return fields;
}

/**
 * The groups of a record type with their fields' names; RangeError for an unknown type.
 * @param {string} typeName
 * @returns {Map<string, string[]>}
 */
export function groupsOf(typeName) {
  fieldsOf(typeName);
  return /** @type {Map<string, string[]>} */ (byGroup.get(typeName));
}

/**
 * The group that a field is stamped with; an unknown field is a group of its own.
 * @param {string} typeName
 * @param {string} fieldName
 * @returns {string}
 */
export function groupOf(typeName, fieldName) {
  return fieldsOf(typeName).get(fieldName)?.group ?? fieldName;
}

/**
 * The fields of a group; a group that is not known is the one field of its name.
 * @param {string} typeName
 * @param {string} group
 * @returns {string[]}
 */
export function namesIn(typeName, group) {
  return groupsOf(typeName).get(group) ?? [group];
}

/**
 * Whether a conflict in the group goes to the history only.
 * @param {string} typeName
 * @param {string} group
 * @returns {boolean}
 */
export function isQuiet(typeName, group) {
  const fields = fieldsOf(typeName);
  return namesIn(typeName, group).every((name) => fields.get(name)?.quiet === true);
}
