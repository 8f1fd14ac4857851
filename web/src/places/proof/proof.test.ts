import assert from 'node:assert/strict';
import { test } from 'node:test';
import type { Task } from '../../engine/types';
import { latest, resultOf } from './latest';
import type { Fault, Show } from './types';
import { lasted, moment, rows, tally, together, value, verdict } from './words';

const task = (id: string, part: Partial<Task>): Task => ({
  id, what: 'proof', revision: 'r', name: '', script: '', quick: false, at: { share: 0, ms: 0, lengthMs: 0, run: 0, runs: 0, modules: [], tried: 0, faults: 0 },
  stopping: false, ended: true, stopped: false, good: true, problems: [], ...part,
});

test('what was stopped or failed is the latest, but found nothing', () => {
  const all = [task('1', {}), task('2', { what: 'faults' }), task('3', { stopped: true }), task('4', { problems: [{ id: 'x', kind: 'document', severity: 'stop-work', text: 'no' }] }), task('5', { ended: false })];
  assert.equal(latest(all, 'proof')?.id, '5');
  assert.equal(resultOf(all, 'proof')?.id, '1');
  assert.equal(resultOf(all, 'faults')?.id, '2');
  assert.equal(resultOf([], 'faults'), null);
});

test('times and values are said plainly', () => {
  assert.equal(moment(1234.5), '1.2345 s');
  assert.equal(moment(1000), '1.000 s');
  const show = { fromMs: 10, toMs: 20, refreshes: 20 } as Show;
  assert.equal(lasted(show), 'for 10 ms');
  assert.equal(lasted({ ...show, refreshes: 3 }), 'for 10 ms, in 3 refreshes of it');
  assert.deepEqual([0, 0.4, 9.96, 55.4, 99.8].map(value), ['dark', '0.4 % light', '10.0 % light', '55 % light', 'full light']);
});

test('a verdict names who fails', () => {
  const line = { lamp: 'l', unpowered: false, refreshes: 1, busyPercent: 3, problems: [] };
  const p = { proven: false, lengthMs: 4500, supply: '13.5 V', shown: [], modules: [{ module: 'a', proven: true, ...line }, { module: 'b', proven: false, ...line }] };
  assert.equal(verdict(p), 'Not proven: b does not do what the job says.');
  assert.equal(verdict({ ...p, proven: true }), 'Proven over 4.5 s: all 2 modules do what the job says, word by word.');
});

test('faults of one part that take the same are one row', () => {
  assert.equal(together(['tap of stop at a.in2 open', 'tap of stop at a.in2 shorted to ground']), 'tap of stop at a.in2 open or shorted to ground');
  assert.equal(together(['one']), 'one');
  assert.equal(together(['a b', 'a']), 'a b or a');
  const fault = (what: string, stand: Fault['stand'], says: string): Fault => ({
    fault: what, kind: 'tap', what, stand, place: { line: 3, column: 1 }, mend: '', onHex: true, problems: [],
    lost: says ? [{ says, function: 'stop', lamps: ['a'], breach: false, script: 's', mend: '' }] : [],
  });
  const all = [fault('tap open', 'weaker', 'stop dark'), fault('tap at ground', 'weaker', 'stop dark'), fault('tap at the supply', 'weaker', 'stop lit'), fault('x', 'held', '')];
  assert.deepEqual(rows(all).map((r) => [r.what, r.faults.length]), [['tap open or at ground', 2], ['tap at the supply', 1], ['x', 1]]);
  assert.deepEqual(tally(all), { broken: 0, weaker: 3, held: 1 });
});
