/** The first numbers of a household: what is usual, and the records that the answers make. Pure. */

/**
 * @typedef {object} Answers amounts in minor units
 * @property {number | null} wage
 * @property {number | null} minProfit
 * @property {number | null} cash
 * @property {number} salvage parts per million of the likely price
 * @property {"us" | "metric"} units
 * @property {string} zone IANA name
 * @property {Record<string, number | null>} prices typical prices by id of the kind's record
 */

/** What stands where nothing is said; common practice, no source. */
const USUAL = { wage: 1500, minProfit: 1500, salvage: 350_000 };

/** Countries whose people measure furniture in inches. */
const INCHES = /-(US|LR|MM)$/;

/**
 * The answers before anybody answered: what the household has, else what is usual.
 * @param {Record<string, any>} setting
 * @param {{zone: string, locale: string}} device
 * @returns {Answers}
 */
export function usual(setting, { zone, locale }) {
  return {
    wage: setting.wage_per_hour ?? USUAL.wage,
    minProfit: setting.min_profit ?? USUAL.minProfit,
    cash: setting.cash_start ?? null,
    salvage: setting.salvage_ppm ?? USUAL.salvage,
    units: setting.units ?? (INCHES.test(locale) ? "us" : "metric"),
    zone: setting.time_zone ?? zone,
    prices: {},
  };
}

/**
 * Whether the browser knows a time zone by this name.
 * @param {string} zone
 */
export function knownZone(zone) {
  try {
    new Intl.DateTimeFormat("en", { timeZone: zone });
    return zone.trim() !== "";
  } catch {
    return false;
  }
}

/**
 * What to write: the setting, and every kind whose price was answered.
 * @param {Answers} answers
 * @param {{id: string, when: {at: string, on: string}, opened?: string | null}} household its id,
 *   now, and the first day of its books if that is said already
 */
export function firstChanges(answers, { id, when, opened }) {
  const prices = Object.entries(answers.prices).filter(([, price]) => price !== null);
  return [
    {
      type: "setting", id,
      fields: {
        wage_per_hour: answers.wage ?? USUAL.wage,
        min_profit: answers.minProfit ?? USUAL.minProfit,
        salvage_ppm: answers.salvage,
        cash_start: answers.cash ?? 0,
        opened_on: opened ?? when.on,
        units: answers.units,
        time_zone: answers.zone,
        set_up_at: when.at,
      },
    },
    ...prices.map(([kind, price]) => ({
      type: "kind", id: kind, fields: { typical_price: price, sureness: "fair" },
    })),
  ];
}
