/** Numbers as a person says them: $38, 1 h 20, 12 days ago. Pure. */

import { formatMoney } from "../basis/money.js";

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;

/**
 * An amount in words: "$38", "$1,250", "$12.50", "−$8"; a dash for nothing known.
 * @param {number | null | undefined} minor minor units
 */
export function moneyWords(minor) {
  if (minor === null || minor === undefined) return "–";
  return formatMoney(minor, { whole: true }).replace("-", "−");
}

/**
 * An amount with its cents even where they are none, for columns: "$38.00".
 * @param {number} minor
 */
export function toTheCent(minor) {
  return minor % 100 === 0 ? `${moneyWords(minor)}.00` : moneyWords(minor);
}

/**
 * An amount without cents: a figure that was estimated has none. Halves go away from zero.
 * @param {number | null | undefined} minor
 */
export function aboutMoney(minor) {
  if (minor === null || minor === undefined) return "–";
  const whole = Math.trunc((Math.abs(minor) + 50) / 100) * 100;
  return moneyWords(minor < 0 ? -whole || 0 : whole);
}

/** About so much money, never parted from its sign at the end of a line. @param {number} minor */
export function unbrokenMoney(minor) {
  return aboutMoney(minor).replace("−", "−\u2060");
}

/**
 * Minutes in words: "15 min", "1 h", "1 h 20".
 * @param {number | null | undefined} minutes
 */
export function minutesWords(minutes) {
  if (minutes === null || minutes === undefined) return "–";
  const whole = Math.trunc(minutes + 0.5);
  if (whole < 60) return `${whole} min`;
  const rest = whole % 60;
  return rest === 0 ? `${Math.trunc(whole / 60)} h` : `${Math.trunc(whole / 60)} h ${rest}`;
}

/**
 * How long something has been: "now", "5 min", "2 h", "3 days".
 * @param {string | number | Date} since an instant
 * @param {Date} now
 */
export function spanWords(since, now) {
  const ms = now.getTime() - new Date(since).getTime();
  if (ms < MINUTE) return "now";
  if (ms < HOUR) return `${Math.floor(ms / MINUTE)} min`;
  if (ms < DAY) return `${Math.floor(ms / HOUR)} h`;
  const days = Math.floor(ms / DAY);
  return days === 1 ? "1 day" : `${days} days`;
}

/**
 * How long ago: "just now", "2 h ago", "12 days ago".
 * @param {string | number | Date} since
 * @param {Date} now
 */
export function ageWords(since, now) {
  const span = spanWords(since, now);
  return span === "now" ? "just now" : `${span} ago`;
}

/**
 * A calendar day: "1 May" or, in another year than today's, "1 May 2025".
 * @param {string} on YYYY-MM-DD
 * @param {string} today YYYY-MM-DD
 */
export function dayWords(on, today) {
  const [year, month, day] = on.split("-").map(Number);
  const names = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split(" ");
  const text = `${day} ${names[month - 1]}`;
  return on.slice(0, 4) === today.slice(0, 4) ? text : `${text} ${year}`;
}

/**
 * A number with its noun: "1 piece", "3 pieces".
 * @param {number} count
 * @param {string} one
 * @param {string} [many]
 */
export function countWords(count, one, many = `${one}s`) {
  return `${count} ${count === 1 ? one : many}`;
}

/** How a piece stands, worst first; index 0 is grade 1. */
export const GRADE_WORDS = ["Rough", "Worn", "Fair", "Good", "Like new"];

/**
 * @typedef {object} SyncState
 * @property {"home" | "sending" | "away" | "unpaired" | "revoked" | "trouble"} state
 * @property {number} unsent
 * @property {string | number | null} [oldestUnsentAt]
 * @property {number} [photosUnsent]
 * @property {number} [photosTroubled] refused by home, or lost
 * @property {string | number | null} [lastHomeAt]
 * @property {string | null} [message]
 */

/**
 * What the status pill says: never "home" while anything is not.
 * @param {SyncState} sync
 * @param {Date} now
 * @returns {{text: string, tone: "" | "warn" | "stop", icon: "home" | "send" | "away" | "warn"}}
 */
export function statusWords(sync, now) {
  if (sync.state === "unpaired") return { text: "Not added yet", tone: "warn", icon: "away" };
  if (sync.state === "revoked") return { text: "Removed at home", tone: "stop", icon: "warn" };
  const waiting = sync.unsent + (sync.photosUnsent ?? 0);
  if (sync.state === "trouble") return { text: troubleWords(waiting), tone: "stop", icon: "warn" };
  if (waiting > 0) return { text: waitingWords(sync, waiting, now), tone: "warn", icon: "send" };
  if (sync.photosTroubled) {
    return { text: `${countWords(sync.photosTroubled, "photo")} not home`, tone: "warn", icon: "warn" };
  }
  if (sync.state === "away" && sync.lastHomeAt) {
    return { text: `Home ${ageWords(sync.lastHomeAt, now)}`, tone: "", icon: "away" };
  }
  return { text: sync.state === "home" ? "Home" : "All saved", tone: "", icon: "home" };
}

/** @param {number} waiting */
function troubleWords(waiting) {
  return waiting ? `Trouble, ${waiting} to send` : "Trouble";
}

/** @param {SyncState} sync @param {number} waiting @param {Date} now */
function waitingWords(sync, waiting, now) {
  const start = sync.state === "sending" ? `Sending ${waiting}` : `${waiting} to send`;
  const oldest = sync.oldestUnsentAt ? spanWords(sync.oldestUnsentAt, now) : "now";
  return oldest === "now" ? start : `${start}, oldest ${oldest}`;
}
