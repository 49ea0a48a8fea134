/** What the pairing screen decides and says; pure. */

import { tidyCode } from "../basis/ids.js";
import { meaningOf } from "../scan/codes.js";

/** How many symbols a pairing code has, without its hyphens. */
const CODE_LENGTH = 10;

/**
 * Where the app runs, as far as pairing must know.
 * @param {{userAgent: string, platform?: string, maxTouchPoints?: number, standalone?: boolean}}
 *   navigator
 * @param {boolean} standaloneView whether the display mode is that of an installed app
 * @returns {{apple: boolean, installed: boolean, kind: string}}
 */
export function whereWeAre(navigator, standaloneView) {
  const { userAgent, platform = "", maxTouchPoints = 0, standalone = false } = navigator;
  const tablet = /iPad/.test(userAgent) || (platform === "MacIntel" && maxTouchPoints > 1);
  const apple = tablet || /iPhone|iPod/.test(userAgent);
  const desk = maxTouchPoints === 0 || /Windows|CrOS|Macintosh/.test(userAgent);
  const kind = tablet ? "Tablet" : desk && !apple ? "Laptop" : "Phone";
  return { apple, installed: standalone || standaloneView, kind };
}

/**
 * What is wrong with a typed code before it is sent; "" if nothing.
 * @param {string} typed
 */
export function codeProblem(typed) {
  const { length } = tidyCode(typed);
  if (length === 0) return "Type the code that home shows.";
  if (length !== CODE_LENGTH) return `The code has ${CODE_LENGTH} symbols; this has ${length}.`;
  return "";
}

/**
 * The pairing code in a scanned picture, or what is wrong with it.
 * @param {string} text
 * @param {string} origin this page's own
 * @returns {{code: string} | {wrong: string}}
 */
export function scannedCode(text, origin) {
  const meaning = meaningOf(text, [origin]);
  if (meaning.kind !== "pairing") {
    return { wrong: "That is not the picture for adding a phone. At home, open Household, Add a "
      + "phone." };
  }
  if (meaning.origin !== origin) {
    return { wrong: `That picture belongs to ${meaning.origin}. Open Crestrail at that address.` };
  }
  return { code: meaning.code };
}

/**
 * What to say when home did not add this phone.
 * @param {any} error
 */
export function pairProblem(error) {
  if (error?.name === "Away") {
    return "Home can't be reached. Is this phone on the same network, and is the computer at "
      + "home awake? What you typed stays here.";
  }
  return error?.message || "This phone could not be added. Make a new code at home and try again.";
}
