import assert from 'node:assert/strict';
import test from 'node:test';
import { endLeft, leftRunning } from '../../web/js/state/left-running.js';

/** A household at a moment, with these records by type; its day is the UTC day. */
const at = (now, records) => ({
  now: () => new Date(now), today: () => now.slice(0, 10),
  all: (type) => records[type] ?? [],
  where: (type, field, value) => (records[type] ?? []).filter((one) =>
    (Array.isArray(one[field]) ? one[field].includes(value) : one[field] === value)),
  write: (changes) => Promise.resolve(changes),
});
const OUT = { id: 'o', at: '2026-05-02T08:00:00.000Z', on: '2026-05-02' };
const STINT = { id: 's', started_at: '2026-05-02T20:00:00.000Z', on: '2026-05-02', piece_ids: ['p', 'q'] };
const stop = (at, closes) => ({ at, closes_at: closes, outing_id: 'o' });

test('an outing is not asked about while its last sale is open or something was just written', () => {
  const stops = [stop('2026-05-02T08:30:00.000Z', '2026-05-02T15:00:00.000Z')];
  assert.deepEqual(leftRunning(at('2026-05-02T17:59:00.000Z', { outing: [OUT], stop: stops })), []);
  const bought = [{ at: '2026-05-02T16:00:00.000Z', outing_id: 'o' }];
  const still = at('2026-05-02T18:30:00.000Z', { outing: [OUT], stop: stops, purchase: bought });
  assert.deepEqual(leftRunning(still), []);
});

test('past its end, and over night, it ended half an hour after the last thing written on it', () => {
  const stops = [
    stop('2026-05-02T08:30:00.000Z'), stop('2026-05-02T10:10:00.000Z', '2026-05-02T12:00:00.000Z'),
  ];
  for (const now of ['2026-05-02T15:01:00.000Z', '2026-05-03T07:00:00.000Z']) {
    const [left] = leftRunning(at(now, { outing: [OUT], stop: stops }));
    assert.deepEqual([left.what, left.endAt], ['outing', '2026-05-02T10:40:00.000Z']);
  }
  const ended = { ...OUT, ended_at: '2026-05-02T12:00:00.000Z' };
  assert.deepEqual(leftRunning(at('2026-05-04T07:00:00.000Z', { outing: [ended] })), []);
});

test('a timer over night ended with the last tick, else after the usual minutes, else after an hour', () => {
  const now = '2026-05-03T07:00:00.000Z';
  const step = [{ slug: 'clean', typical_minutes: 25 }];
  const ticks = [{ piece_id: 'q', done_at: '2026-05-02T20:45:00.000Z' },
    { piece_id: 'p', done_at: '2026-05-01T20:45:00.000Z' }];
  const stint = [{ ...STINT, step: 'clean', units: 1 }];
  const ends = (records) => leftRunning(at(now, records)).map((left) => left.endAt);
  assert.deepEqual(ends({ stint, step, piece_step: ticks }), ['2026-05-02T20:45:00.000Z']);
  assert.deepEqual(ends({ stint, step }), ['2026-05-02T20:50:00.000Z']);
  assert.deepEqual(ends({ stint: [STINT] }), ['2026-05-02T21:00:00.000Z']);
  assert.deepEqual(leftRunning(at('2026-05-02T22:30:00.000Z', { stint: [STINT] })), []);
});

test('work that goes on past midnight is left alone for a while', () => {
  assert.deepEqual(leftRunning(at('2026-05-03T00:20:00.000Z',
    { stint: [{ ...STINT, started_at: '2026-05-02T23:40:00.000Z' }] })), []);
});

test('ended at the moment named: whole minutes, at least one, never before the beginning', async () => {
  const home = at('2026-05-03T07:00:00.000Z', { stint: [STINT], outing: [OUT] });
  const left = { what: 'stint', record: STINT, since: STINT.started_at, endAt: '' };
  const fields = async (end) => (await endLeft(home, left, end))[0].fields;
  assert.deepEqual(await fields('2026-05-02T20:50:30.000Z'),
    { stopped_at: '2026-05-02T20:50:30.000Z', minutes: 51 });
  assert.deepEqual(await fields('2026-05-02T19:00:00.000Z'),
    { stopped_at: STINT.started_at, minutes: 1 });
});
