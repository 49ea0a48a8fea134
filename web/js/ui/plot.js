import { LitElement, html, nothing } from "../../vendor/lit/index.js";

/**
 * @typedef {object} PlotColumn
 * @property {string} label
 * @property {(number | null)[]} values
 * @property {(value: number | null) => string} words how a value is said in the table and axis
 * @property {boolean} [dots] single points, not joined to a line
 */

/**
 * @typedef {object} Plot
 * @property {string} caption
 * @property {PlotColumn} x ascending values; seconds since 1970 if `time`
 * @property {PlotColumn[]} lines at most three
 * @property {boolean} [time]
 * @property {boolean} [bars]
 */

/**
 * A plot with its data table. The plotting library is loaded when the first plot is drawn; without
 * it (or without sight) the table says the same. `.plot` takes a `Plot`.
 */
export class CrestPlot extends LitElement {
  static properties = { plot: { attribute: false } };

  constructor() {
    super();
    /** @type {Plot | null} */
    this.plot = null;
    /** @type {import("../../vendor/uplot/index.js") | null} */
    this.drawn = null;
    this.resized = new ResizeObserver(() => this.#resize());
    this.job = 0;
    this.dark = window.matchMedia("(prefers-color-scheme: dark)");
    this.recoloured = () => this.plot && this.#draw(this.plot);
  }

  createRenderRoot() {
    return this;
  }

  connectedCallback() {
    super.connectedCallback();
    this.dark.addEventListener("change", this.recoloured);
    if (this.hasUpdated) this.recoloured();
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.dark.removeEventListener("change", this.recoloured);
    this.resized.disconnect();
    this.drawn?.destroy();
    this.drawn = null;
  }

  render() {
    if (!this.plot) return nothing;
    const { caption, lines } = this.plot;
    return html`<figure class="stack tight">
      <figcaption><strong>${caption}</strong></figcaption>
      ${lines.length > 1
        ? html`<p class="plot-key note">${lines.map((line, i) => html`<span
            class="plot-key-${i + 1}">${line.label}</span>`)}</p>`
        : nothing}
      <div class="plot-box" aria-hidden="true"></div>
      <details class="more"><summary>As a table</summary>
        <div class="table-wrap" tabindex="0" role="region" aria-label=${caption}>
          ${this.#table(this.plot)}</div></details>
    </figure>`;
  }

  /** @param {Map<string, unknown>} changed */
  updated(changed) {
    if (changed.has("plot") && this.plot) this.#draw(this.plot);
  }

  /** @param {Plot} plot */
  #table({ caption, x, lines }) {
    return html`<table class="table">
      <caption class="unseen">${caption}</caption>
      <thead><tr>${[x, ...lines].map((c) => html`<th scope="col">${c.label}</th>`)}</tr></thead>
      <tbody>${x.values.map((value, i) => html`<tr><th scope="row">${x.words(value)}</th>
        ${lines.map((c) => html`<td class="figure">${c.words(c.values[i])}</td>`)}</tr>`)}</tbody>
    </table>`;
  }

  /** @param {Plot} plot */
  async #draw(plot) {
    const job = ++this.job;
    const { default: UPlot } = await import("../../vendor/uplot/index.js");
    const box = /** @type {HTMLElement | null} */ (this.querySelector(".plot-box"));
    if (job !== this.job || !box || !this.isConnected) return;
    this.drawn?.destroy();
    const data = [plot.x.values, ...plot.lines.map((line) => line.values)];
    this.drawn = new UPlot(options(plot, box, UPlot), /** @type {any} */ (data), box);
    this.resized.observe(box);
  }

  #resize() {
    const box = this.querySelector(".plot-box");
    if (box) this.drawn?.setSize(sizeOf(box));
  }
}

/** @param {Element} box */
function sizeOf(box) {
  return { width: Math.max(200, box.clientWidth), height: 220 };
}

/**
 * @param {Plot} plot
 * @param {HTMLElement} box
 * @param {any} UPlot
 */
function options({ x, lines, time, bars }, box, UPlot) {
  const colour = (/** @type {string} */ name) =>
    getComputedStyle(box).getPropertyValue(name).trim();
  const axis = { stroke: colour("--soft"), grid: { stroke: colour("--line"), width: 1 } };
  const say = (/** @type {PlotColumn} */ column) =>
    (/** @type {unknown} */ _u, /** @type {number[]} */ splits) => splits.map(column.words);
  return {
    ...sizeOf(box),
    scales: { x: { time: time ?? false } },
    ...(time ? { tzDate: inUtc(UPlot) } : {}),
    legend: { show: false },
    cursor: { show: false },
    axes: [{ ...axis, ...(time ? {} : { values: say(x) }) },
      { ...axis, size: 64, values: say(lines[0]) }],
    series: [{}, ...lines.map((line, i) => ({
      label: line.label, stroke: colour(`--plot-${i + 1}`), width: 2,
      dash: i === 1 ? [8, 4] : i === 2 ? [2, 4] : [],
      ...(bars ? barsOf(UPlot, colour(`--plot-${i + 1}`)) : {}),
      ...(line.dots ? dotsOf(colour(`--plot-${i + 1}`)) : {}),
    }))],
  };
}

/** Days are given as midnights of UTC, so the axis must count in it too. @param {any} UPlot */
function inUtc(UPlot) {
  return (/** @type {number} */ seconds) => UPlot.tzDate(new Date(seconds * 1000), "Etc/UTC");
}

/** @param {string} fill */
function dotsOf(fill) {
  return { paths: () => null, points: { show: true, size: 7, width: 1, fill } };
}

/** @param {any} UPlot @param {string} fill */
function barsOf(UPlot, fill) {
  return { fill, paths: UPlot.paths.bars({ size: [0.7, 60] }) };
}

customElements.define("crest-plot", CrestPlot);
