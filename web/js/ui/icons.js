import { html, nothing, svg } from "../../vendor/lit/index.js";

/** Our own strokes on a 24 px grid, 2 px wide; each path is drawn as it stands. */
const STROKES = {
  rail: "M3 9c3-5 15-5 18 0v2c-4-3-14-3-18 0zM5 11v10M19 11v10M9 10v8M12 9.5v8.5M15 10v8M5 18h14",
  pieces: "M4 4h7v7H4zM13 4h7v7h-7zM4 13h7v7H4zM13 13h7v7h-7z",
  scan: "M4 8V4h4M16 4h4v4M20 16v4h-4M8 20H4v-4M4 12h16",
  work: "M14 6a4 4 0 0 0 5 5l-9 9a2.5 2.5 0 0 1-4-4l9-9M14 6l3-3 4 4-2 4",
  ledger: "M5 3h12a2 2 0 0 1 2 2v16H7a2 2 0 0 1-2-2zM9 8h6M9 12h6M9 16h3",
  household: "M3 11l9-8 9 8M6 9v11h12V9M10 20v-6h4v6",
  camera: "M3 8h4l2-3h6l2 3h4v11H3zM12 10a3.5 3.5 0 1 0 0 7 3.5 3.5 0 0 0 0-7",
  close: "M5 5l14 14M19 5L5 19",
  back: "M15 4l-8 8 8 8",
  plus: "M12 4v16M4 12h16",
  minus: "M4 12h16",
  check: "M4 13l5 5L20 6",
  stop: "M8 3h8l5 5v8l-5 5H8l-5-5V8zM8 8l8 8M16 8l-8 8",
  warn: "M12 3l10 18H2zM12 10v5M12 18v.1",
  note: "M12 3a9 9 0 1 0 0 18 9 9 0 0 0 0-18M12 11v6M12 7.5v.1",
  people: "M9 4a3.5 3.5 0 1 0 0 7 3.5 3.5 0 0 0 0-7M2 20c0-8 14-8 14 0"
    + "M16 4.5a3.5 3.5 0 0 1 0 6.5M18 14c3 1 4 3 4 6",
  undo: "M9 4L4 9l5 5M4 9h10a6 6 0 0 1 0 12h-4",
  search: "M10 3a7 7 0 1 0 0 14 7 7 0 0 0 0-14M15 15l6 6",
  more: "M5 12h.1M12 12h.1M19 12h.1",
  car: "M3 17v-4l3-6h12l3 6v4zM3 13h18M7 17v3M17 17v3",
  pin: "M12 21c-9-9-7-18 0-18s9 9 0 18M12 8a2.5 2.5 0 1 0 0 5 2.5 2.5 0 0 0 0-5",
  clock: "M12 3a9 9 0 1 0 0 18 9 9 0 0 0 0-18M12 7v5l4 2",
  cash: "M3 6h18v12H3zM12 9a3 3 0 1 0 0 6 3 3 0 0 0 0-6",
  cover: "M3 12c5-8 13-8 18 0M5 15l-2 2M10 17l-1 3M14 17l1 3M19 15l2 2",
  eye: "M2 12c5-9 15-9 20 0-5 9-15 9-20 0M12 9a3 3 0 1 0 0 6 3 3 0 0 0 0-6",
  phone: "M7 2h10v20H7zM11 19h2",
  trash: "M4 6h16M9 6V3h6v3M6 6l1 15h10l1-15",
  print: "M7 9V3h10v6M7 17H3V9h18v8h-4M7 14h10v7H7z",
  photo: "M3 4h18v16H3zM3 17l6-6 5 5 3-3 4 4M15 8h.1",
  edit: "M4 20l1-5L16 4l4 4L9 19z",
  send: "M12 20V5M5 12l7-7 7 7",
  home: "M4 13l5 5L20 6",
  away: "M6 18a4.5 4.5 0 0 1 0-9 6 6 0 0 1 11 0 4.5 4.5 0 0 1 1 9zM10 13h4",
  over: "M12 20V4M5 11l7-7 7 7",
  play: "M7 4l13 8-13 8z",
  pause: "M8 4v16M16 4v16",
  backspace: "M8 5h13v14H8l-6-7zM12 9l6 6M18 9l-6 6",
};

/** @typedef {keyof typeof STROKES} IconName */

/**
 * One of our icons. Without a label it is decoration and a word must stand beside it.
 * @param {IconName} name
 * @param {string} [label] what a screen reader says instead of the picture
 */
export function icon(name, label) {
  const path = svg`<path d=${STROKES[name]}></path>`;
  return label
    ? html`<svg class="icon" viewBox="0 0 24 24" role="img" aria-label=${label}>${path}</svg>`
    : html`<svg class="icon" viewBox="0 0 24 24" aria-hidden="true">${path}</svg>`;
}

/**
 * An icon or nothing, for elements whose icon is optional.
 * @param {IconName | undefined} name
 */
export function maybeIcon(name) {
  return name ? icon(name) : nothing;
}
