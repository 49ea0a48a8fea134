// The household's records as the books read them: live, up to a moment, on the right piece.

import { split } from '../basis/money.js';
import { fromText, localDay } from '../basis/clock.js';
import { RECORD_TYPES } from '../records/schema.js';
import { canonicalId } from '../records/stages.js';

/**
 * A flat record, as `Household.all(type)` gives it.
 * @typedef {{id: string, [field: string]: any}} Row
 */

/**
 * The records of a household by type.
 * @typedef {Record<string, readonly Row[]>} Records
 */

/** @type {Record<string, string>} */
const MOMENTS = { stint: 'started_at', setting: 'set_up_at' };

/** Facts up to `asOf` (an instant as text, included), days in `timeZone` (IANA name). */
export class Facts {
  /**
   * @param {Records} household
   * @param {string} asOf
   * @param {string} timeZone
   */
  constructor(household, asOf, timeZone) {
    this.household = household;
    this.asOf = asOf;
    this.timeZone = timeZone;
    /** @type {Map<string, Row[]>} */
    this.cache = new Map();
    this.survivors = survivorsOf(this.rows('same_as'));
    this.splits = this.rows('split').filter(
      (row) => this.piece(row.parent_id) !== this.piece(row.child_id),
    );
    /** @type {Map<string, Row[]>|null} */
    this.byPiece = null;
  }

  /** The household's calendar day of `asOf`. */
  get today() {
    return this.day(this.asOf);
  }

  /**
   * The live records of a type, up to `asOf`, earliest first. A record whose needed fields have
   * not all arrived is left out until they have.
   * @param {string} type
   * @returns {Row[]}
   */
  rows(type) {
    const known = this.cache.get(type);
    if (known) return known;
    const moment = MOMENTS[type] ?? 'at';
    const needed = neededFields(type);
    const rows = (this.household[type] ?? [])
      .filter((row) => isLive(row, needed) && (row[moment] ?? '') <= this.asOf)
      .sort((a, b) => inOrder(a[moment] ?? '', b[moment] ?? '') || inOrder(a.id, b.id));
    this.cache.set(type, rows);
    return rows;
  }

  /**
   * The household's own numbers; empty before they are known.
   * @returns {Record<string, any>}
   */
  setting() {
    return this.rows('setting')[0] ?? {};
  }

  /**
   * The piece that an id stands for: itself, or the one it is a duplicate of.
   * @param {string|null|undefined} id
   * @returns {string|null}
   */
  piece(id) {
    return id ? this.survivors.get(id) ?? id : null;
  }

  /**
   * For each piece its records, its own first and then its duplicates' by id; in order of id.
   * @returns {Map<string, Row[]>}
   */
  members() {
    this.byPiece ??= this.grouped();
    return this.byPiece;
  }

  /** @returns {Map<string, Row[]>} */
  grouped() {
    /** @type {Map<string, Row[]>} */
    const groups = new Map();
    for (const row of this.rows('piece')) {
      const piece = this.piece(row.id) ?? '';
      groups.set(piece, [...(groups.get(piece) ?? []), row]);
    }
    for (const [survivor, rows] of groups) {
      rows.sort(
        (a, b) => Number(a.id !== survivor) - Number(b.id !== survivor) || inOrder(a.id, b.id),
      );
    }
    return new Map([...groups].sort(([a], [b]) => inOrder(a, b)));
  }

  /**
   * The calendar day of an instant in the household's time zone.
   * @param {string} instant
   */
  day(instant) {
    return localDay(fromText(instant), this.timeZone);
  }

  /**
   * The pieces that came out of another one; their cost comes from there alone.
   * @returns {Set<string>}
   */
  children() {
    return new Set(this.splits.map((row) => this.piece(row.child_id) ?? ''));
  }

  /**
   * An amount of a piece at a moment, shared over what it was divided into afterwards.
   * @param {string} piece
   * @param {string} at
   * @param {number} amount
   * @returns {Map<string, number>}
   */
  spread(piece, at, amount) {
    const shares = new Map([[piece, amount]]);
    for (const row of this.splits) {
      const parent = this.piece(row.parent_id) ?? '';
      const left = shares.get(parent);
      if (row.at <= at || left === undefined) continue;
      const [gone, rest] = split(left, [row.child_weight, row.parent_weight]);
      shares.set(parent, rest);
      addTo(shares, this.piece(row.child_id) ?? '', gone);
    }
    return shares;
  }
}

/**
 * Order of two texts by code unit, as sorting needs it.
 * @param {string} a
 * @param {string} b
 */
export function inOrder(a, b) {
  if (a === b) return 0;
  return a < b ? -1 : 1;
}

/**
 * Adds an amount to an entry of a map.
 * @param {Map<string, number>} sums
 * @param {string} key
 * @param {number} amount
 */
export function addTo(sums, key, amount) {
  sums.set(key, (sums.get(key) ?? 0) + amount);
}

/**
 * @param {string} type
 * @returns {string[]}
 */
function neededFields(type) {
  const fields = RECORD_TYPES[type]?.fields ?? [];
  return fields.filter((field) => field.required).map((field) => field.name);
}

/**
 * @param {Row} row
 * @param {string[]} needed
 */
function isLive(row, needed) {
  return !row.deleted && needed.every((name) => row[name] != null);
}

/**
 * Each piece named in a pair -> the one id that stands for it.
 * @param {Row[]} pairs
 * @returns {Map<string, string>}
 */
function survivorsOf(pairs) {
  const named = new Set(pairs.flatMap((pair) => [pair.duplicate_id, pair.survivor_id]));
  return new Map([...named].map((name) => [name, canonicalId(name, pairs)]));
}
