import assert from 'node:assert/strict';
import test from 'node:test';

import { certificateWords } from '../../web/js/sync/certificate.js';

const ENDS = '2026-05-01T12:00:00.000Z';

for (const [now, ends, said] of [
  ['2026-05-01T11:59:59.999Z', ENDS, false],
  ['2026-05-01T12:00:00.000Z', ENDS, true],
  ['2027-05-01T12:00:00.000Z', ENDS, true],
  ['2027-05-01T12:00:00.000Z', null, false],
  ['2027-05-01T12:00:00.000Z', undefined, false],
  ['2027-05-01T12:00:00.000Z', 'no instant', false],
]) {
  test(`with an end at ${ends} home's certificate is ${said ? '' : 'not '}named at ${now}`, () => {
    const words = certificateWords(ends, new Date(now));
    assert.equal(words.startsWith('The home computer\'s certificate may have run out.'), said);
    assert.equal(words === '', !said);
  });
}
