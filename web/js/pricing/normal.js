/**
 * The standard normal distribution: cumulative function, its inverse, and integration nodes.
 * Mirrors `pricing/normal.py`.
 */

/** The 90% point of the standard normal distribution: shown ranges run from 10% to 90%. */
export const Z90 = 1.2815515655446004;

const SERIES_BELOW = 2.5;
const FRACTION_TERMS = 120;

/**
 * The complementary error function: a power series near 0, a continued fraction beyond
 * (Abramowitz & Stegun 7.1.6 and 7.1.14).
 * @param {number} x
 * @returns {number}
 */
export function erfc(x) {
  if (x < 0) return 2 - erfc(-x);
  if (x < SERIES_BELOW) {
    let term = x;
    let sum = x;
    for (let n = 1; Math.abs(term) > 1e-18 * Math.abs(sum); n += 1) {
      term *= (2 * x * x) / (2 * n + 1);
      sum += term;
    }
    return 1 - (2 / Math.sqrt(Math.PI)) * Math.exp(-x * x) * sum;
  }
  let tail = 0;
  for (let k = FRACTION_TERMS; k >= 1; k -= 1) tail = k / 2 / (x + tail);
  return Math.exp(-x * x) / Math.sqrt(Math.PI) / (x + tail);
}

/**
 * The chance that a standard normal value is at most `x`.
 * @param {number} x
 * @returns {number}
 */
export function phi(x) {
  return erfc(-x / Math.SQRT2) / 2;
}

/**
 * A polynomial, highest power first.
 * @param {number[]} coefficients
 * @param {number} r
 */
function polynomial(coefficients, r) {
  let sum = 0;
  for (const c of coefficients) sum = sum * r + c;
  return sum;
}

const MIDDLE = [
  [2.5090809287301226727e3, 3.3430575583588128105e4, 6.7265770927008700853e4,
    4.5921953931549871457e4, 1.3731693765509461125e4, 1.9715909503065514427e3,
    1.3314166789178437745e2, 3.3871328727963666080e0],
  [5.2264952788528545610e3, 2.8729085735721942674e4, 3.9307895800092710610e4,
    2.1213794301586595867e4, 5.3941960214247511077e3, 6.8718700749205790830e2,
    4.2313330701600911252e1, 1],
];
const NEAR = [
  [7.74545014278341407640e-4, 2.27238449892691845833e-2, 2.41780725177450611770e-1,
    1.27045825245236838258e0, 3.64784832476320460504e0, 5.76949722146069140550e0,
    4.63033784615654529590e0, 1.42343711074968357734e0],
  [1.05075007164441684324e-9, 5.47593808499534494600e-4, 1.51986665636164571966e-2,
    1.48103976427480074590e-1, 6.89767334985100004550e-1, 1.67638483018380384940e0,
    2.05319162663775882187e0, 1],
];
const FAR = [
  [2.01033439929228813265e-7, 2.71155556874348757815e-5, 1.24266094738807843860e-3,
    2.65321895265761230930e-2, 2.96560571828504891230e-1, 1.78482653991729133580e0,
    5.46378491116411436990e0, 6.65790464350110377720e0],
  [2.04426310338993978564e-15, 1.42151175831644588870e-7, 1.84631831751005468180e-5,
    7.86869131145613259100e-4, 1.48753612908506148525e-2, 1.36929880922735805310e-1,
    5.99832206555887937690e-1, 1],
];

/**
 * The value that a standard normal stays below with chance `p`; minus infinity for 0 or less,
 * infinity for 1 or more. Algorithm AS 241 (PPND16) of M. J. Wichura, Applied Statistics 37
 * (1988) 477-484, in the order of operations of Python's `statistics.NormalDist`.
 * @param {number} p
 * @returns {number}
 */
export function inverse(p) {
  if (p <= 0) return -Infinity;
  if (p >= 1) return Infinity;
  const q = p - 0.5;
  if (Math.abs(q) <= 0.425) {
    const r = 0.180625 - q * q;
    return (polynomial(MIDDLE[0], r) * q) / polynomial(MIDDLE[1], r);
  }
  const r = Math.sqrt(-Math.log(q <= 0 ? p : 1 - p));
  const [top, bottom, at] = r <= 5 ? [...NEAR, r - 1.6] : [...FAR, r - 5];
  const x = polynomial(/** @type {number[]} */ (top), /** @type {number} */ (at))
    / polynomial(/** @type {number[]} */ (bottom), /** @type {number} */ (at));
  return q < 0 ? -x : x;
}

/** @returns {Array<[number, number]>} */
function nodes() {
  const points = Array.from({ length: 41 }, (_, j) => -5 + 0.25 * j);
  const raw = points.map((z) => Math.exp((-z * z) / 2));
  let total = 0;
  for (const w of raw) total += w;
  return points.map((z, j) => [z, raw[j] / total]);
}

/** 41 pairs [z, weight] for averages over a standard normal by the trapezoid rule. */
export const NODES = nodes();
