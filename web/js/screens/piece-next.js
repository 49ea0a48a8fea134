import { html } from "../../vendor/lit/index.js";

/**
 * The next sensible thing to do with a piece, and where it is done.
 * @param {import("../state/pieces.js").PieceView} view
 * @returns {{label: string, href: string} | null}
 */
export function nextStep({ piece, stage }) {
  const page = `#/pieces/${piece.id}`;
  const work = `#/work?piece=${piece.id}`;
  /** @type {Record<string, {label: string, href: string}>} */
  const steps = {
    seen: { label: "Price this find", href: `#/sale?piece=${piece.id}` },
    passed: { label: "Price it again", href: `#/sale?piece=${piece.id}` },
    to_fetch: { label: "Mark it fetched", href: `${page}?do=fetch` },
    bought: { label: "Start work on it", href: work },
    in_work: { label: "Go on working", href: work },
    ready: { label: "List it", href: `${page}?do=list` },
    listed: { label: "Sell it", href: `${page}?do=sell` },
    on_hold: { label: "Hand it over", href: `${page}?do=sell` },
  };
  return steps[stage] ?? null;
}

/** @param {import("../state/pieces.js").PieceView} view the same as a link that looks like a button */
export function nextOf(view) {
  const next = nextStep(view);
  return next ? html`<a class="button go" href=${next.href}>${next.label}</a>` : "";
}
