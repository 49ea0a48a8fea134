import { RECORD_TYPES } from '../records/schema.js';

/** @typedef {import('../store/types.js').Row} Row */
/** @typedef {{id: string, type: string, [field: string]: any}} Live */

const INDEXED_TYPES = ['id', 'ids'];
const INDEXED_NAMES = ['kind', 'step', 'code'];

/**
 * The whole household in memory, as screens read it: rows by type and id, live records, and
 * the ids under each value of the fields that are looked up. IndexedDB is what lasts.
 */
export class Memory {
  constructor() {
    /** @type {Map<string, Map<string, Row>>} */
    this.rows = new Map();
    /** @type {Map<string, Map<any, Set<string>>>} "type field" -> value -> ids */
    this.index = new Map();
    /** @type {Map<string, Live[]>} */
    this.lists = new Map();
    /** @type {WeakMap<Row, Live>} */
    this.views = new WeakMap();
    /** @type {WeakMap<object, Row>} view -> the row it shows */
    this.origins = new WeakMap();
    /** @type {Map<string, string[]>} */
    this.indexed = new Map();
    /** raised with every change, for what is worked out from the records */
    this.version = 0;
    for (const [type, { fields }] of Object.entries(RECORD_TYPES)) {
      const names = fields.filter(isIndexed).map((field) => field.name);
      this.rows.set(type, new Map());
      this.indexed.set(type, names);
      for (const name of names) this.index.set(`${type} ${name}`, new Map());
    }
  }

  /**
   * Take over rows as they are now stored.
   * @param {Row[]} rows
   * @returns {Set<string>} the types touched
   */
  put(rows) {
    /** @type {Set<string>} */
    const touched = new Set();
    for (const row of rows) {
      const known = this.rows.get(row.type) ?? new Map();
      this.rows.set(row.type, known);
      this.#unindex(known.get(row.id));
      known.set(row.id, row);
      this.#reindex(row);
      touched.add(row.type);
    }
    for (const type of touched) this.lists.delete(type);
    this.version += 1;
    return touched;
  }

  /**
   * @param {[string, string][]} keys records that are stored no longer
   * @returns {Set<string>} the types touched
   */
  drop(keys) {
    for (const [type, id] of keys) {
      this.#unindex(this.row(type, id));
      this.rows.get(type)?.delete(id);
      this.lists.delete(type);
    }
    this.version += 1;
    return new Set(keys.map(([type]) => type));
  }

  /**
   * @param {string} type
   * @param {string} id
   * @returns {Row|undefined}
   */
  row(type, id) {
    return this.rows.get(type)?.get(id);
  }

  /**
   * The live record: not deleted, not erased.
   * @param {string} type
   * @param {string} id
   * @returns {Live|null}
   */
  get(type, id) {
    const row = this.row(type, id);
    return row && isLive(row) ? this.#view(row) : null;
  }

  /**
   * @param {string} type
   * @returns {Live[]} in the order of their ids, which is the order of making
   */
  all(type) {
    let list = this.lists.get(type);
    if (!list) {
      const rows = [...(this.rows.get(type)?.values() ?? [])].filter(isLive);
      list = rows.map((row) => this.#view(row)).sort(byId);
      this.lists.set(type, list);
    }
    return list;
  }

  /**
   * @param {string} type
   * @param {string} field
   * @param {any} value for a list field: an entry of the list
   * @returns {Live[]}
   */
  where(type, field, value) {
    const index = this.index.get(`${type} ${field}`);
    if (!index) return this.all(type).filter((record) => record[field] === value);
    const ids = [...(index.get(value) ?? [])].sort();
    return /** @type {Live[]} */ (ids.map((id) => this.get(type, id)).filter(Boolean));
  }

  /**
   * @param {Row} row
   * @returns {Live}
   */
  #view(row) {
    let view = this.views.get(row);
    if (!view) {
      view = Object.freeze({ ...row.fields, id: row.id, type: row.type });
      this.views.set(row, view);
      this.origins.set(view, row);
    }
    return view;
  }

  /**
   * @param {object} view a live record, of now or of earlier
   * @returns {Record<string, string>} the stamps of what it shows; none for anything else
   */
  stampsOf(view) {
    return this.origins.get(view)?.stamps ?? {};
  }

  /** @param {Row} row */
  #reindex(row) {
    for (const [index, value] of this.#places(row)) {
      const ids = index.get(value) ?? new Set();
      index.set(value, ids.add(row.id));
    }
  }

  /** @param {Row|undefined} row */
  #unindex(row) {
    if (!row) return;
    for (const [index, value] of this.#places(row)) index.get(value)?.delete(row.id);
  }

  /**
   * @param {Row} row
   * @returns {[Map<any, Set<string>>, any][]}
   */
  #places(row) {
    /** @type {[Map<any, Set<string>>, any][]} */
    const places = [];
    for (const name of this.indexed.get(row.type) ?? []) {
      const value = row.fields[name];
      const index = /** @type {Map<any, Set<string>>} */ (this.index.get(`${row.type} ${name}`));
      for (const one of Array.isArray(value) ? value : [value]) {
        if (one !== null && one !== undefined) places.push([index, one]);
      }
    }
    return places;
  }
}

/** @param {{name: string, type: string}} field */
const isIndexed = (field) =>
  INDEXED_TYPES.includes(field.type) || INDEXED_NAMES.includes(field.name);

/** @param {Row} row */
const isLive = (row) => !row.erased && row.fields.deleted !== true;

/**
 * @param {Live} a
 * @param {Live} b
 */
const byId = (a, b) => (a.id < b.id ? -1 : 1);
