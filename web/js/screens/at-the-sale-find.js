/** A find while it is being looked at: plain data, kept as a draft, and what follows from it. */

/** @typedef {import("../state/finds.js").Find} Find */
/** @typedef {Record<string, any>} Live a record as screens see it */

/** The name under which the find on the pad is kept while it is being looked at. */
export const DRAFT = "at-the-sale";

/** @returns {Find} nothing known yet */
export function emptyFind() {
  return {
    id: null, kind: null, title: "", count: 1, traits: [], found_grade: null, flaws: [], steps: [],
    ask: null, likely: null, low: null, high: null, typed_minutes: null, typed_supplies: null,
    note: "", photos: [], size: null,
  };
}

/**
 * Whether nothing worth keeping was put in.
 * @param {Find} find
 */
export function isEmpty(find) {
  return JSON.stringify({ ...find, ask: null }) === JSON.stringify(emptyFind());
}

/**
 * Whether nothing at all was put in.
 * @param {Find} find
 */
export function isUntouched(find) {
  return isEmpty(find) && find.ask === null;
}

/**
 * A draft as it was kept; what an older version of the app did not know takes its usual value.
 * @param {Partial<Find> | null | undefined} draft
 * @returns {Find}
 */
export function fromDraft(draft) {
  return { ...emptyFind(), ...draft };
}

/**
 * A find that was passed or left for later, to be looked at again.
 * @param {Live} piece
 * @param {Live[]} steps its piece_steps
 * @param {Live[]} photos
 * @returns {Find}
 */
export function fromPiece(piece, steps, photos) {
  const find = emptyFind();
  const names = /** @type {(keyof Find)[]} */ (Object.keys(find));
  for (const name of names) {
    if (piece[name] !== null && piece[name] !== undefined) {
      Object.assign(find, { [name]: piece[name] });
    }
  }
  find.steps = steps.map((step) => step.step);
  find.photos = photos.map(({ sha256, width, height }) => ({ sha256, width, height }));
  return find;
}

/**
 * The find as the pad wants it.
 * @param {Find} find
 * @param {Live | undefined} kind its record
 * @param {Live[]} steps all step records
 */
export function padInput(find, kind, steps) {
  const minutesOf = (/** @type {string} */ slug) =>
    steps.find((step) => step.slug === slug)?.typical_minutes ?? null;
  return {
    kind: find.kind,
    traits: find.traits,
    count: find.count,
    found_grade: find.found_grade,
    steps: find.steps.map((slug) => {
      const one = minutesOf(slug);
      return { step: slug, units: find.count, minutes: one === null ? null : one * find.count };
    }),
    typed: {
      likely: find.likely, low: find.low, high: find.high,
      minutes: find.typed_minutes, supplies: find.typed_supplies,
    },
    ask: find.ask,
    kind_typical: { price: kind?.typical_price ?? null, days: kind?.typical_days ?? null },
  };
}

/**
 * What the cautions go by: the care words of kind and steps, and the flaws seen.
 * @param {Find} find
 * @param {Live | undefined} kind
 * @param {Live[]} steps all step records
 */
export function situationOf(find, kind, steps) {
  const chosen = steps.filter((step) => find.steps.includes(step.slug));
  return {
    care: [...(kind?.care ?? []), ...chosen.flatMap((step) => step.care ?? [])],
    flaws: find.flaws,
  };
}

/**
 * Records in the order a person needs them: most used first, then their own order, then by name.
 * @param {Live[]} records
 * @param {Map<string, number>} used how often by slug
 * @returns {Live[]}
 */
export function byUse(records, used) {
  const count = (/** @type {Live} */ record) => used.get(record.slug) ?? 0;
  return [...records].sort((a, b) =>
    count(b) - count(a) || (a.sort ?? 1e6) - (b.sort ?? 1e6) || a.name.localeCompare(b.name));
}

/**
 * How often each slug occurs.
 * @param {Iterable<string | null | undefined>} slugs
 * @returns {Map<string, number>}
 */
export function tally(slugs) {
  const counts = new Map();
  for (const slug of slugs) if (slug) counts.set(slug, (counts.get(slug) ?? 0) + 1);
  return counts;
}

/**
 * Who waits for such a piece: open wants of this kind whose looks are all there.
 * @param {Live[]} wants
 * @param {Find} find
 * @param {string} today
 */
export function waitingFor(wants, find, today) {
  if (!find.kind) return [];
  return wants.filter((want) => want.kind === find.kind && !want.met_at
    && (!want.until_on || want.until_on >= today)
    && (want.traits ?? []).every((/** @type {string} */ slug) => find.traits.includes(slug)));
}
