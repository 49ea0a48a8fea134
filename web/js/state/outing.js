/** @typedef {import('./household.js').Household} Household */
/** @typedef {import('./memory.js').Live} Live */

/**
 * How the outing that is under way stands.
 * @typedef {object} Running
 * @property {Live} outing its record
 * @property {Live|null} stop the sale one is at: the last that was reached
 * @property {number|null} cashLeft minor units; null when no cash was named at the start
 * @property {number} minutesTaken predicted work of what was bought
 * @property {number|null} minutesLimit
 * @property {number} litresTaken room that what was bought takes in the car
 * @property {number|null} litresLimit
 */

/**
 * The outing of today that was started last and has not ended; null when one is at home. One of
 * another day is over, whether that was said or not.
 * @param {Household} household
 * @returns {Running|null}
 */
export function runningOuting(household) {
  const today = household.today();
  const open = household.all('outing').filter((outing) => !outing.ended_at && outing.on === today);
  const outing = latest(open);
  if (!outing) return null;
  const purchases = household.where('purchase', 'outing_id', outing.id);
  const pieces = purchases.flatMap(({ id }) => household.where('piece', 'purchase_id', id));
  const paid = sum(purchases.map((one) => one.total + (one.extra_costs ?? 0)));
  const inCar = pieces.filter((piece) => isInCar(household, piece));
  return {
    outing,
    stop: latest(household.where('stop', 'outing_id', outing.id)),
    cashLeft: outing.cash === undefined || outing.cash === null ? null : outing.cash - paid,
    minutesTaken: sum(pieces.map((piece) => minutesOf(household, piece))),
    minutesLimit: outing.minutes_limit ?? null,
    litresTaken: sum(inCar.map((piece) => litresOf(household, piece))),
    litresLimit: household.setting.load_litres ?? null,
  };
}

/**
 * @param {Household} household
 * @param {Live} piece
 * @returns {boolean} not one that is to be fetched later
 */
export function isInCar(household, piece) {
  const purchase = household.get('purchase', piece.purchase_id);
  return !purchase || Boolean(purchase.fetched_at) || !(purchase.fetch_by || purchase.fetch_where);
}

/**
 * The work expected of a piece: as the pad said when it was bought, else as typed, else the usual
 * minutes of its steps.
 * @param {Household} household
 * @param {Live} piece
 * @returns {number} minutes
 */
function minutesOf(household, piece) {
  const said = latest(household.where('prediction', 'piece_id', piece.id)
    .filter(({ for_what: what }) => what === 'bought'));
  const likely = said?.answer?.minutes?.likely;
  if (Number.isFinite(likely)) return Math.round(likely);
  if (Number.isFinite(piece.typed_minutes)) return piece.typed_minutes;
  const usual = new Map(household.all('step').map((step) => [step.slug, step.typical_minutes]));
  const steps = household.where('piece_step', 'piece_id', piece.id);
  return sum(steps.map((step) => (usual.get(step.step) ?? 0) * (step.units ?? 1)));
}

/**
 * @param {Household} household
 * @param {Live} piece
 * @returns {number} litres: its own, else what such a kind usually takes, for each of the set
 */
export function litresOf(household, piece) {
  if (Number.isFinite(piece.litres)) return piece.litres;
  const kind = household.all('kind').find((one) => one.slug === piece.kind);
  return (kind?.typical_litres ?? 0) * (piece.count ?? 1);
}

/**
 * @param {Live[]} facts
 * @returns {Live|null} the one that happened last
 */
const latest = (facts) =>
  facts.reduce((/** @type {Live|null} */ a, b) => (a && a.at > b.at ? a : b), null);

/** @param {number[]} numbers */
const sum = (numbers) => numbers.reduce((a, b) => a + b, 0);
