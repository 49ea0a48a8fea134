/**
 * The nearest of one's own sales, with the reasons why they are near. Mirrors
 * `pricing/comps.py`. How far a sale is from a find is the squared difference in log price that
 * the prior expects between them, and the noise that the sale's age adds.
 */

const KIND_VARIANCE = 2 * 0.35 ** 2;
const TRAIT_VARIANCE = 0.20 ** 2;
const GRADE_VARIANCE = 0.15 ** 2 + 0.08 ** 2;
const COUNT_VARIANCE = 0.90 ** 2 + 0.15 ** 2;
const NOISE_VARIANCE = 0.35 ** 2;
const HALF_LIFE_DAYS = 3 * 365.25;
/** Sales further off say too little about a find to be shown. */
const FARTHEST = 0.5;
const SHOWN = 3;

/**
 * @typedef {{kind: string|null, traits: string[], count: number, grade: number}} CompFind
 * @typedef {CompFind & {id: string, price: number, ageDays: number}} CompSale one own sale;
 *   price in minor units, age in days
 *
 * @typedef {object} Reasons
 * @property {boolean} sameKind
 * @property {string[]} shared traits of both
 * @property {string[]} lacks traits of the find that the sale had not
 * @property {string[]} adds traits of the sale that the find has not
 * @property {boolean} sameCount
 * @property {number} gradeStep how many grades better the sale was
 * @property {number} ageDays
 *
 * @typedef {{id: string, price: number, distance: number, reasons: Reasons}} Comp
 */

/**
 * How far off a sale is; 0 for one just like the find, sold today.
 * @param {CompFind} find
 * @param {CompSale} sale
 */
export function distance(find, sale) {
  let differ = 0;
  for (const t of new Set([...find.traits, ...sale.traits])) {
    if (!find.traits.includes(t) || !sale.traits.includes(t)) differ += 1;
  }
  let far = find.kind === sale.kind ? 0 : KIND_VARIANCE;
  far += TRAIT_VARIANCE * differ;
  far += GRADE_VARIANCE * (find.grade - sale.grade) ** 2;
  far += COUNT_VARIANCE * Math.log(find.count / sale.count) ** 2;
  return far + NOISE_VARIANCE * (2 ** (sale.ageDays / HALF_LIFE_DAYS) - 1);
}

/**
 * Whether a sale is too far off whatever its looks: most are, and this is quickly said.
 * @param {CompFind} find
 * @param {CompSale} sale
 */
function isFar(find, sale) {
  const noise = NOISE_VARIANCE * (2 ** (sale.ageDays / HALF_LIFE_DAYS) - 1);
  const differ = Math.abs(find.traits.length - sale.traits.length);
  const kind = find.kind === sale.kind ? 0 : KIND_VARIANCE;
  return kind + TRAIT_VARIANCE * differ + noise > FARTHEST + 1e-6;
}

/** @param {CompFind} find @param {CompSale} sale @returns {Reasons} */
function reasonsOf(find, sale) {
  return {
    sameKind: find.kind === sale.kind,
    shared: find.traits.filter((t) => sale.traits.includes(t)),
    lacks: find.traits.filter((t) => !sale.traits.includes(t)),
    adds: sale.traits.filter((t) => !find.traits.includes(t)),
    sameCount: find.count === sale.count,
    gradeStep: sale.grade - find.grade,
    ageDays: sale.ageDays,
  };
}

/** @param {string} a @param {string} b */
function textOrder(a, b) {
  if (a === b) return 0;
  return a < b ? -1 : 1;
}

/**
 * At most three of the sales, nearest first. Ties go to the younger sale, then to the smaller
 * id.
 * @param {CompFind} find
 * @param {CompSale[]} sales
 * @returns {Comp[]}
 */
export function nearestSales(find, sales) {
  const scored = sales
    .filter((sale) => !isFar(find, sale))
    .map((sale) => ({ sale, far: distance(find, sale) }))
    .filter((x) => x.far <= FARTHEST);
  scored.sort((a, b) => (
    a.far - b.far || a.sale.ageDays - b.sale.ageDays || textOrder(a.sale.id, b.sale.id)
  ));
  return scored.slice(0, SHOWN).map(({ sale, far }) => ({
    id: sale.id,
    price: sale.price,
    distance: far,
    reasons: reasonsOf(find, sale),
  }));
}

/**
 * An age in words, to days, weeks, months or years.
 * @param {number} days
 */
export function ago(days) {
  /** @type {Array<[number, string]>} */
  const sizes = [[365.25, 'year'], [30.4375, 'month'], [7, 'week'], [1, 'day']];
  for (const [size, name] of sizes) {
    const n = Math.floor(days / size);
    if (n >= 1) return `${n} ${name}${n === 1 ? '' : 's'} ago`;
  }
  return 'today';
}

/**
 * The reasons in words: "same kind, also Oak; without Cane; 3 months ago".
 * @param {Reasons} reasons
 * @param {Record<string, string>} names shown names of traits
 */
export function why(reasons, names) {
  const listed = (/** @type {string[]} */ slugs) => (
    slugs.map((s) => (Object.hasOwn(names, s) ? names[s] : s)).join(', ')
  );
  const parts = [reasons.sameKind ? 'same kind' : 'another kind'];
  if (reasons.shared.length > 0) parts[0] += `, also ${listed(reasons.shared)}`;
  if (reasons.lacks.length > 0) parts.push(`without ${listed(reasons.lacks)}`);
  if (reasons.adds.length > 0) parts.push(`with ${listed(reasons.adds)}`);
  if (!reasons.sameCount) parts.push('another number of items');
  if (reasons.gradeStep !== 0) {
    parts.push(reasons.gradeStep > 0 ? 'in better shape' : 'in worse shape');
  }
  return [...parts, ago(reasons.ageDays)].join('; ');
}
