/** How pieces and their stages are said on screen. Pure. */

/** @type {Record<string, string>} */
export const STAGE_WORDS = {
  seen: "Seen", passed: "Passed", to_fetch: "To be fetched", bought: "Bought", in_work: "In work",
  ready: "Ready", listed: "Listed", on_hold: "On hold", sold: "Sold", kept: "Kept",
  let_go: "Let go", divided: "Divided", duplicate: "Same as another",
};

/** @type {Record<string, "" | "brass" | "pine" | "oxblood">} */
export const STAGE_TONES = { ready: "pine", listed: "pine", on_hold: "brass", to_fetch: "brass" };

/** Which stages stand together in the list, in the order a person looks for them. */
export const GROUPS = [
  {
    name: "here",
    label: "In hand",
    stages: ["to_fetch", "bought", "in_work", "ready", "listed", "on_hold"],
  },
  { name: "finds", label: "Finds", stages: ["seen", "passed"] },
  { name: "gone", label: "Gone", stages: ["sold", "kept", "let_go", "divided", "duplicate"] },
];

/**
 * What a piece is called: its title, else its kind, else that it has no name.
 * @param {any} household
 * @param {any} piece
 * @returns {string}
 */
export function pieceName(household, piece) {
  if (piece.title) return piece.title;
  const kind = household.where("kind", "slug", piece.kind)[0];
  const name = kind?.name ?? piece.kind ?? "Piece without a name";
  return piece.count > 1 ? `${piece.count} × ${name}` : name;
}

/**
 * Whether a piece answers to what was typed: every word is in its name, kind, traits, note or code.
 * @param {string} typed
 * @param {string[]} texts
 */
export function matches(typed, texts) {
  const text = texts.join(" ").toLowerCase();
  return typed.toLowerCase().split(/\s+/).every((word) => text.includes(word));
}
