import assert from 'node:assert/strict';
import test from 'node:test';
import {
  byUse, emptyFind, fromDraft, fromPiece, isEmpty, isUntouched, padInput, situationOf, tally,
  waitingFor,
} from '../../web/js/screens/at-the-sale-find.js';
import { brief, faceOf, spoken } from '../../web/js/screens/at-the-sale-words.js';
import { firstChanges, knownZone, usual } from '../../web/js/screens/first-run-numbers.js';
import {
  codeProblem, pairProblem, scannedCode, whereWeAre,
} from '../../web/js/screens/pair-words.js';

const STEPS = [
  { slug: 'deep-clean', name: 'Deep clean', typical_minutes: 20, care: ['solvents'] },
  { slug: 'wax', name: 'Wax' },
];

/** An answer of the pad with what the words go by. */
const answered = (parts = {}) => ({
  ok: true, most: 3800, nothingReason: null, atAsk: null, caveats: [],
  range: { low: 9000, likely: 14_532, high: 20_000 },
  minutes: { low: 40, likely: 80, high: 120 },
  evidence: { ownSalesOfKind: 6, ownSales: 40, level: 'fair', source: 'book' },
  ...parts,
});
const asked = (ask, clear, over = 0) => ({ ask, clear, over, hourly: null, lossWords: 'low' });

test('a find begins with nothing said, and a draft of an older app is filled up', () => {
  assert(isUntouched(emptyFind()));
  assert(isEmpty(fromDraft({ ask: 2000 })), 'an ask alone is no find');
  assert(!isUntouched(fromDraft({ ask: 2000 })), 'but it was typed, so it is kept');
  assert(!isEmpty(fromDraft({ photos: [{ sha256: 'a' }] })), 'a picture alone is one');
  assert.deepEqual(fromDraft(null), emptyFind());
  assert.deepEqual(fromDraft({ kind: 'bench' }).steps, []);
});

test('a find that comes back is as it was left', () => {
  const piece = { id: 'p', kind: 'bench', count: 2, traits: ['oak'], ask: 1500, note: null };
  const steps = [{ step: 'wax' }];
  const photos = [{ id: 'x', sha256: 'ab', width: 3, height: 4, piece_id: 'p' }];
  const find = fromPiece(piece, steps, photos);
  assert.equal(find.id, 'p');
  assert.deepEqual([find.count, find.traits, find.steps, find.note], [2, ['oak'], ['wax'], '']);
  assert.deepEqual(find.photos, [{ sha256: 'ab', width: 3, height: 4 }]);
});

test('the pad gets the find with the work of all its items', () => {
  const find = { ...emptyFind(), kind: 'hall-tree', count: 4, steps: ['deep-clean', 'wax'], low: 1 };
  const kind = { slug: 'hall-tree', typical_price: 9000, typical_days: 30 };
  const input = padInput(find, kind, STEPS);
  assert.deepEqual(input.steps, [
    { step: 'deep-clean', units: 4, minutes: 80 }, { step: 'wax', units: 4, minutes: null },
  ]);
  assert.deepEqual(input.kind_typical, { price: 9000, days: 30 });
  assert.equal(input.typed.low, 1);
});

test('cautions go by the kind, the steps chosen and the flaws seen', () => {
  const find = { ...emptyFind(), steps: ['deep-clean'], flaws: ['smoke'] };
  assert.deepEqual(situationOf(find, { care: ['upholstered'] }, STEPS), {
    care: ['upholstered', 'solvents'], flaws: ['smoke'],
  });
});

test('what is used most comes first, then the own order, then the name', () => {
  const records = [
    { slug: 'c', name: 'C' }, { slug: 'b', name: 'B', sort: 2 }, { slug: 'a', name: 'A', sort: 1 },
    { slug: 'd', name: 'Bb' },
  ];
  const used = tally(['c', 'c', 'b', null, undefined]);
  assert.deepEqual(byUse(records, used).map(({ slug }) => slug), ['c', 'b', 'a', 'd']);
});

test('somebody waits for a piece of this kind with all the looks they want', () => {
  const find = { ...emptyFind(), kind: 'bench', traits: ['oak'] };
  const want = (fields) => waitingFor([{ kind: 'bench', ...fields }], find, '2026-05-01').length;
  assert.equal(want({}), 1);
  assert.equal(want({ traits: ['oak'] }), 1);
  assert.equal(want({ traits: ['oak', 'cane'] }), 0);
  assert.equal(want({ kind: 'desk' }), 0);
  assert.equal(want({ until_on: '2026-05-01' }), 1);
  assert.equal(want({ until_on: '2026-04-30' }), 0);
  assert.equal(want({ met_at: '2026-04-30T10:00:00.000Z' }), 0);
});

test('the card shows one thing big, and a deal-breaker before any number', () => {
  const states = [
    [answered(), [], 'most', '$38'],
    [answered({ atAsk: asked(2000, 7600) }), [], 'most', '$38'],
    [answered({ atAsk: asked(5000, 4600, 1200) }), [], 'over', '$12'],
    [answered({ most: 0, nothingReason: 'time' }), [], 'nothing', '$0'],
    [answered(), [{ title: 'Live bugs: walk away' }], 'stop', 'Walk away'],
    [{ ok: false, details: [] }, [], 'empty', ''],
  ];
  for (const [answer, stops, state, number] of states) {
    const face = faceOf(answer, stops);
    assert.deepEqual([face.state, face.number], [state, number]);
  }
});

test('the one line says the most useful thing', () => {
  const line = (parts) => brief(faceOf(answered(parts), []), answered(parts));
  assert.equal(line({}), 'Likely brings $145');
  assert.equal(line({ atAsk: asked(2000, 7649) }), 'At $20 you clear $76');
  assert.equal(line({ atAsk: asked(9000, -4100, 5200) }), 'Most to pay $38');
  assert.equal(line({ atAsk: asked(2550, -4100) }), 'At $25.50 you lose $41');
});

test('a screen reader hears the number and what the ask comes to', () => {
  const over = answered({ atAsk: asked(5000, 4600, 1200) });
  assert.match(spoken(faceOf(over, []), over), /^Over by \$12, most to pay \$38\. At their \$50/);
  assert.equal(spoken(faceOf({ ok: false, details: [] }, []), { ok: false, details: [] }), '');
});

test('the first answers are the household\'s own, else the usual ones', () => {
  const device = { zone: 'America/Chicago', locale: 'en-US' };
  assert.equal(usual({}, device).salvage, 350_000, 'never nothing by itself');
  assert.equal(usual({}, device).units, 'us');
  assert.equal(usual({}, { ...device, locale: 'de-DE' }).units, 'metric');
  assert.equal(usual({ wage_per_hour: 2000 }, device).wage, 2000);
  assert(knownZone('Europe/Berlin') && !knownZone('Middle/Earth') && !knownZone(''));
});

test('what was not answered keeps what is usual, and only answered prices are written', () => {
  const answers = {
    ...usual({}, { zone: 'UTC', locale: 'en' }), wage: null, prices: { k1: 9000, k2: null },
  };
  const when = { at: '2026-05-01T10:00:00.000Z', on: '2026-05-01' };
  const [setting, ...kinds] = firstChanges(answers, { id: 'h', when });
  assert.equal(setting.fields.wage_per_hour, 1500);
  assert.equal(setting.fields.opened_on, '2026-05-01');
  assert.deepEqual(kinds.map(({ id, fields }) => [id, fields.typical_price]), [['k1', 9000]]);
  const [later] = firstChanges(answers, { id: 'h', when, opened: '2025-01-01' });
  assert.equal(later.fields.opened_on, '2025-01-01', 'books that were opened stay open');
});

test('a phone knows where it runs', () => {
  const iphone = { userAgent: 'Mozilla/5.0 (iPhone; CPU iPhone OS 17_0)', maxTouchPoints: 5 };
  assert.deepEqual(whereWeAre(iphone, false), { apple: true, installed: false, kind: 'Phone' });
  assert(whereWeAre({ ...iphone, standalone: true }, false).installed);
  const tablet = { userAgent: 'Mozilla/5.0 (Macintosh)', platform: 'MacIntel', maxTouchPoints: 5 };
  assert.deepEqual(whereWeAre(tablet, false).kind, 'Tablet');
  assert.equal(whereWeAre({ ...tablet, maxTouchPoints: 0 }, false).apple, false);
  const android = { userAgent: 'Mozilla/5.0 (Linux; Android 14) Mobile', maxTouchPoints: 5 };
  assert.deepEqual(whereWeAre(android, true), { apple: false, installed: true, kind: 'Phone' });
});

test('a pairing code is looked at before it is sent', () => {
  assert.equal(codeProblem('ab-cdef-ghjk'), '');
  assert.match(codeProblem(''), /Type the code/);
  assert.match(codeProblem('AB-CDEF'), /10 symbols; this has 6/);
});

test('only the picture of one\'s own home adds a phone', () => {
  const home = 'https://tarrow.local:8443';
  assert.deepEqual(scannedCode(`${home}/pair#AB-CDEF-GHJK`, home), { code: 'AB-CDEF-GHJK' });
  assert.match(scannedCode('https://other.test/pair#AB-CDEF-GHJK', home).wrong, /other\.test/);
  assert.match(scannedCode(`${home}/t/K7M2Q9D46`, home).wrong, /not the picture/);
});

test('a failure to add says what helps', () => {
  assert.match(pairProblem({ name: 'Away' }), /same network/);
  assert.equal(pairProblem({ message: 'That code was used.' }), 'That code was used.');
});
