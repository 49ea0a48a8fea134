/** @typedef {import('./household.js').Household} Household */
/** @typedef {import('./memory.js').Live} Live */

/**
 * How the outing under way stands.
 * @typedef {object} Running
 * @property {Live} outing
 * @property {Live|null} stop the sale one is at
 * @property {number|null} cashLeft minor units; null when no cash was said
 * @property {number} minutesTaken work taken on, as the pad expected it
 * @property {number|null} minutesLimit
 * @property {number} litresTaken
 * @property {number|null} litresLimit
 */

/**
 * The outing that has begun and not ended; of several the latest. An outing of another day is
 * over, said or not.
 * @param {Household} household
 * @returns {Running|null}
 */
export function runningOuting(household) {
  const today = household.today();
  const outing = household.all('outing')
    .filter((one) => !one.ended_at && one.on === today)
    .sort((a, b) => (a.at < b.at ? -1 : 1))
    .at(-1);
  if (!outing) return null;
  const purchases = household.where('purchase', 'outing_id', outing.id);
  const bought = purchases
    .flatMap((purchase) => household.where('piece', 'purchase_id', purchase.id));
  return {
    outing,
    stop: household.where('stop', 'outing_id', outing.id).at(-1) ?? null,
    cashLeft: outing.cash == null ? null : outing.cash - sum(purchases.map(paid)),
    minutesTaken: sum(bought.map((piece) => minutesOf(household, piece))),
    minutesLimit: outing.minutes_limit ?? null,
    litresTaken: sum(bought.map((piece) => litresOf(household, piece))),
    litresLimit: household.setting.load_litres ?? null,
  };
}

/** @param {Live} purchase */
function paid(purchase) {
  return purchase.total + (purchase.extra_costs ?? 0);
}

/**
 * The minutes that the pad expected when the piece was bought; the typed or usual ones where no
 * answer was kept.
 * @param {Household} household
 * @param {Live} piece
 */
function minutesOf(household, piece) {
  const answers = household.where('prediction', 'piece_id', piece.id)
    .filter((prediction) => prediction.for_what === 'bought');
  const expected = answers.at(-1)?.answer?.minutes?.likely;
  if (Number.isFinite(expected)) return Math.round(expected);
  return piece.typed_minutes ?? sum(household.where('piece_step', 'piece_id', piece.id)
    .map(({ step, units }) => usual(household, step) * (units ?? 1)));
}

/**
 * @param {Household} household
 * @param {string} step
 * @returns {number} minutes of one unit
 */
function usual(household, step) {
  return household.where('step', 'slug', step)[0]?.typical_minutes ?? 0;
}

/**
 * The room a piece takes in the car; what is fetched later takes none today.
 * @param {Household} household
 * @param {Live} piece
 */
function litresOf(household, piece) {
  const purchase = household.get('purchase', piece.purchase_id);
  if (purchase && !purchase.fetched_at && (purchase.fetch_by || purchase.fetch_where)) return 0;
  const kind = household.where('kind', 'slug', piece.kind)[0];
  return piece.litres ?? (kind?.typical_litres ?? 0) * (piece.count ?? 1);
}

/** @param {number[]} numbers */
function sum(numbers) {
  return numbers.reduce((a, b) => a + b, 0);
}
