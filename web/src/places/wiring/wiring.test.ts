import assert from 'node:assert/strict';
import { test } from 'node:test';
import type { Job, Lamp } from '../../engine/types';
import { asText, changed, soldered } from './changes';
import { otherHand, registers, runs, short, wiringOf, wish } from './map';
import { back, begin, expected, fitting, lastLit, note, presses, result, seenOf, type Walk } from './walk';

const lamp = (name: string, oppositeOf = ''): Lamp => ({
  name, kind: '', oppositeOf, place: { end: 'rear', side: 'LH', x: 0, y: 0 }, outline: [], leds: [], zones: [], paths: [], functions: [],
  groups: ['a.1', 'a.2', 'a.3', 'a.4'].map((n) => ({ name: n, colour: 'red' })),
});

function job(output: number[], loads: { name: string; output: number }[] = []): Job {
  const module = (name: string, of: string) => ({
    name, board: 'chain-8', outputs: 8, registers: 1, lamp: of, link: '', output, loads, inputs: [], bytes: 0, mostBytes: 0, fades: 0, mostFades: 0,
  });
  return {
    state: 1, revision: 'r', path: '/jobs/tail.yaml', title: 'Tail', for: '', use: '', saved: true, save: null, undo: '', redo: '', text: '', tree: null, problems: [], findings: [],
    lamps: [lamp('left'), lamp('right', 'left'), lamp('alone')], modules: [module('l', 'left'), module('r', 'right'), module('x', 'alone')], inputs: [], routines: [], layers: [],
  };
}

test('a wiring says what hangs where, nowhere, and what is free', () => {
  const w = wiringOf(job([2, 0, 5, 9], [{ name: 'stop', output: 8 }]), 'l')!;
  assert.deepEqual(w.on, [null, 0, null, null, 2, null, null, null]);
  assert.deepEqual(w.loose, [1, 3]);
  assert.deepEqual(w.free, [1, 3, 4, 6, 7]);
  assert.equal(w.load[7], 'stop');
  assert.equal(wiringOf(job([]), 'none'), null);
});

test('Enter alone keeps an output, or takes the next free one after the last, and round the end', () => {
  const w = wiringOf(job([2, 0, 0, 0]), 'l')!;
  assert.equal(wish(w, 0, 7), 2);
  assert.equal(wish(w, 1, 2), 3);
  assert.equal(wish(w, 1, 8), 1);
  assert.equal(wish(wiringOf(job([1, 2, 3, 0], [4, 5, 6, 7, 8].map((output) => ({ name: 'x', output }))), 'l')!, 3, 0), 0);
});

test('the other hand goes both ways; a lamp alone has none', () => {
  const j = job([1, 2, 3, 4]);
  assert.equal(otherHand(j, j.modules[0]!)?.name, 'r');
  assert.equal(otherHand(j, j.modules[1]!)?.name, 'l');
  assert.equal(otherHand(j, j.modules[2]!), null);
});

test('numbers in short, registers, names within a pattern', () => {
  assert.equal(runs([1, 2, 3, 4, 7, 9, 10]), '1–4, 7, 9, 10');
  assert.equal(runs([]), '');
  assert.deepEqual(registers(12), [{ first: 1, last: 8 }, { first: 9, last: 12 }]);
  assert.deepEqual(short('arrow.12'), { pattern: 'arrow', member: '12' });
  assert.deepEqual(short('d1'), { pattern: '', member: 'd1' });
});

const say = (walk: Walk, ...seen: (string | null)[]) =>
  seen.reduce((w, s) => note(w, s === null ? 'nothing' : s === '?' ? 'more' : { lit: s }, 8), walk);

test('a lamp that is soldered one off is found out', () => {
  const w = wiringOf(job([1, 2, 3, 4]), 'l')!;
  assert.deepEqual(expected(w, 1), { lit: 'a.1' });
  assert.equal(expected(w, 5), 'nothing');
  const walk = say(begin(), 'a.4', 'a.1', 'a.2', 'a.3');
  assert.equal(walk.at, 5);
  const r = result(walk, w);
  assert.deepEqual(r.outputs, { 'a.4': 1, 'a.1': 2, 'a.2': 3, 'a.3': 4 });
  assert.equal(r.differs.length, 4);
  assert.deepEqual(r.nowhere, []);
  assert.equal(r.found, 4);
});

test('stepping back asks for the latest output again, as often as there are notes', () => {
  let walk = say(begin(), 'a.1', null, 'a.2');
  assert.equal(lastLit(walk), 3);
  walk = back(walk);
  assert.deepEqual([walk.at, walk.notes.length], [3, 2]);
  walk = back(back(back(walk)));
  assert.deepEqual(walk, begin());
});

test('a group seen twice opens the earlier output again, and stepping back restores it', () => {
  const walk = say(begin(), 'a.1', 'a.2', 'a.1');
  assert.deepEqual([...seenOf(walk).keys()], [2, 3]);
  assert.deepEqual(result(walk, wiringOf(job([1, 2, 3, 4]), 'l')!).open, [1, 4, 5, 6, 7, 8]);
  assert.deepEqual([...seenOf(back(walk)).keys()], [1, 2]);
});

test('after an earlier output was put right the walk goes on where it was', () => {
  const walk = say(begin(), 'a.1', 'a.2', 'a.3');
  assert.equal(say({ ...walk, at: 1 }, null).at, 4);
  assert.equal(say({ ...walk, at: 8 }, null).at, 0, 'the last one ends it');
});

test('nothing, more than one, and what lit nowhere are told apart', () => {
  const w = wiringOf(job([1, 2, 3, 0]), 'l')!;
  const part = say(begin(), null, '?', 'a.4', null);
  assert.deepEqual(result(part, w).nowhere, [], 'a.1 may still light');
  const r = result(say(part, null, null, null, null), w);
  assert.deepEqual(r.more, [2]);
  assert.deepEqual(r.displaced, ['a.3']);
  assert.deepEqual(r.nowhere, ['a.1', 'a.3'], 'a.2 may be among those that lit together');
  assert.deepEqual(r.outputs, { 'a.4': 3 });
  assert.deepEqual(r.differs.map((d) => d.output), [1, 3]);
});

test('presses go round the registers; a board of pins has sixteen places', () => {
  assert.equal(presses(0, 1, 4), 1);
  assert.equal(presses(3, 3, 1), 8);
  assert.equal(presses(7, 2, 1), 3);
  assert.equal(presses(12, 1, 0), 5);
});

test('notes of groups and outputs that are gone are left out', () => {
  const w = wiringOf(job([1, 2, 3, 4]), 'l')!;
  const kept: Walk = { at: 40, notes: [{ output: 1, seen: { lit: 'gone.1' } }, { output: 2, seen: 'nothing' }, { output: 12, seen: 'more' }] };
  assert.deepEqual(fitting(kept, w), { at: 0, notes: [{ output: 2, seen: 'nothing' }] });
});

test('what changed is said in plain words', () => {
  const was = soldered(job([1, 2, 3, 4]));
  assert.deepEqual(changed(was, job([1, 2, 3, 4])), []);
  const now = { ...job([1, 2, 4, 0]), revision: 's' };
  now.modules[1]!.output = now.modules[2]!.output = [1, 2, 3, 4];
  const text = asText(now, was, changed(was, now));
  assert.equal(text, 'Tail: wiring, what changed against what was soldered\ntail.yaml, revision r → s\n\nl (lamp left, board chain-8)\n  output 3: a.3 → nothing\n  output 4: a.4 → a.3\n');
});
