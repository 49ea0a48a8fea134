/**
 * A short lower-case name from what a person typed, unlike the ones already taken. Pure.
 * @param {string} name
 * @param {string[]} taken
 */
export function slugOf(name, taken) {
  const plain = name.normalize("NFKD").toLowerCase().replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "").slice(0, 36) || "thing";
  let slug = plain;
  for (let n = 2; taken.includes(slug); n += 1) slug = `${plain}-${n}`;
  return slug;
}
