// Answers calls of the phone's core: JSON [[name, arguments], …] on stdin, results on stdout.
import { readFileSync } from 'node:fs';
import * as clock from '../../web/js/basis/clock.js';
import { CrestrailError } from '../../web/js/basis/errors.js';
import * as ids from '../../web/js/basis/ids.js';
import * as money from '../../web/js/basis/money.js';
import * as rounding from '../../web/js/basis/rounding.js';
import * as units from '../../web/js/basis/units.js';
import { brokenRules } from '../../web/js/records/rules.js';
import * as stages from '../../web/js/records/stages.js';
import * as stamps from '../../web/js/records/stamps.js';
import { checkFields } from '../../web/js/records/values.js';

const CALLS = {
  check_fields: (type, fields, creating) => checkFields(type, fields, { creating }),
  parse_money: (text) => money.parseMoney(text),
  format_money: (amount, whole) => money.formatMoney(amount, { whole }),
  split: money.split,
  half_up: rounding.halfUp,
  to_minor: rounding.toMinor,
  parse_measure: units.parseMeasure,
  show_measure: units.showMeasure,
  parse_tag_code: ids.parseTagCode,
  local_day: (ms, zone) => clock.localDay(clock.fromMs(ms), zone),
  is_instant: clock.isInstant,
  tick: stamps.tick,
  receive: stamps.receive,
  restamp: stamps.restamp,
  broken_rules: brokenRules,
  stage: ({ asking_prices: askingPrices, same_as: sameAs, ...facts }, asOf) =>
    stages.stage({ ...facts, askingPrices, sameAs }, asOf),
};

const answers = JSON.parse(readFileSync(0, 'utf8')).map(([name, args]) => {
  try {
    return CALLS[name](...args);
  } catch (error) {
    if (!(error instanceof CrestrailError)) throw error;
    return { refused: error.code, message: error.message };
  }
});
process.stdout.write(JSON.stringify(answers));
