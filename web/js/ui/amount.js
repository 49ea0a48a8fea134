/** Typed amounts as text and as minor units; pure, so that it is tested without a browser. */

import { parseMoney } from "../basis/money.js";

const LARGEST = 10 ** 11;

/**
 * What a person typed as minor units: "12", "12.5", "12,50", "$1,250", "" (null); undefined if
 * unreadable. A comma before three digits groups thousands.
 * @param {string} text
 * @returns {number | null | undefined}
 */
export function readAmount(text) {
  const bare = text.replace(/[$\s]/g, "");
  if (bare === "") return null;
  const minor = /^[-\u2212]/.test(bare) ? undefined : parsed(bare);
  return minor !== undefined && minor <= LARGEST ? minor : undefined;
}

/** @param {string} text @returns {number | undefined} */
function parsed(text) {
  try {
    return parseMoney(text);
  } catch {
    return undefined;
  }
}

/**
 * A number as a person types it: "3.5", "3,5", "1,250" (a comma before three digits groups).
 * @param {unknown} text
 * @returns {number | null | undefined} null for nothing, undefined where it cannot be read
 */
export function readNumber(text) {
  const bare = String(text ?? "").trim();
  if (bare === "") return null;
  if (/^\d{1,3}(,\d{3})+(\.\d*)?$/.test(bare)) return Number(bare.replaceAll(",", ""));
  return /^(\d+[.,]?\d*|[.,]\d+)$/.test(bare) ? Number(bare.replace(",", ".")) : undefined;
}

/**
 * Minor units as a person would type them: "12" or "12.50"; "" for none.
 * @param {number | null} minor
 */
export function typedAmount(minor) {
  if (minor === null || minor === undefined) return "";
  const whole = Math.trunc(minor / 100);
  const cents = minor % 100;
  return cents === 0 ? String(whole) : `${whole}.${String(cents).padStart(2, "0")}`;
}

/**
 * The text after a key of the number pad. `fresh` means that the next digit replaces what stands.
 * @param {string} text
 * @param {string} key a digit, ".", "back", "clear"
 * @param {boolean} fresh
 */
export function pressKey(text, key, fresh) {
  if (key === "clear") return "";
  if (key === "back") return text.slice(0, -1);
  const start = fresh ? "" : text;
  const next = key === "." && start === "" ? "0." : start + key;
  return readAmount(next) === undefined ? text : next.replace(/^0+(?=\d)/, "");
}

/**
 * The amount one step up or down, never below nothing; uneven amounts go to the next even step.
 * @param {number | null} minor
 * @param {number} step minor units; negative goes down
 */
export function stepAmount(minor, step) {
  const size = Math.abs(step);
  const now = minor ?? 0;
  const next = step > 0 ? Math.floor(now / size) + 1 : Math.ceil(now / size) - 1;
  return Math.min(LARGEST, Math.max(0, next * size));
}
