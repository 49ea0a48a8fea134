/** Addresses of the screens; pure. */

/**
 * @typedef {object} Route
 * @property {string} name of the file in ../screens
 * @property {string[]} parts what follows in the path: the id of a piece, a tag's code
 * @property {Record<string, string>} params after a question mark
 */

/** @typedef {import("./icons.js").IconName} IconName */

/** @type {{name: string, hash: string, title: string, icon: IconName}[]} */
export const PLACES = [
  { name: "at-the-sale", hash: "#/sale", title: "At the sale", icon: "rail" },
  { name: "pieces", hash: "#/pieces", title: "Pieces", icon: "pieces" },
  { name: "scan", hash: "#/scan", title: "Scan", icon: "scan" },
  { name: "work", hash: "#/work", title: "Work", icon: "work" },
  { name: "ledger", hash: "#/ledger", title: "Ledger", icon: "ledger" },
];

/** @type {Record<string, string>} */
const NAMES = {
  sale: "at-the-sale", pieces: "pieces", scan: "scan", work: "work", ledger: "ledger",
  household: "household", pair: "pair", "first-run": "first-run",
  choose: "choose", load: "load",
};

/** @type {Record<string, string>} */
const TITLES = {
  piece: "Piece", household: "Household", pair: "Add this phone", "first-run": "Your numbers",
  choose: "Which of these", load: "Does it still go in",
};

/**
 * The screen an address means; anything unknown is the sale.
 * @param {{pathname: string, hash: string}} address
 * @returns {Route}
 */
export function readRoute({ pathname, hash }) {
  const tag = /^\/t\/([^/]+)$/.exec(pathname);
  if (tag && !hash.startsWith("#/")) return { name: "scan", parts: [readable(tag[1])], params: {} };
  if (pathname === "/pair" && !hash.startsWith("#/")) {
    return { name: "pair", parts: hash.length > 1 ? [readable(hash.slice(1))] : [], params: {} };
  }
  const [path, query = ""] = hash.replace(/^#\/?/, "").split("?");
  const [first, ...parts] = path.split("/").filter(Boolean).map(readable);
  const params = Object.fromEntries(new URLSearchParams(query));
  if (first === "pieces" && parts.length) return { name: "piece", parts, params };
  return { name: NAMES[first] ?? "at-the-sale", parts, params };
}

/**
 * What the heading says until the screen knows better.
 * @param {string} name
 */
export function titleOf(name) {
  return PLACES.find((place) => place.name === name)?.title ?? TITLES[name] ?? "At the sale";
}

/**
 * The place in the navigation that a screen belongs to.
 * @param {string} name
 */
export function placeOf(name) {
  if (name === "choose" || name === "load") return "at-the-sale";
  return name === "piece" ? "pieces" : name;
}

/** @param {string} text */
function readable(text) {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}
