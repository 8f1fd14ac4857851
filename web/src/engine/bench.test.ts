import assert from 'node:assert/strict';
import { test } from 'node:test';
import { standing, switchesOf, type BenchState } from './bench';
import { Calm } from './calm';
import { flashes } from './flash';
import type { Film } from './film';

test('switches stand in the order of the car, and hazard is there where both turns are', () => {
  const inputs = ['remote-1', 'tail', 'turn-rh', 'stop', 'turn-lh', 'ignition'].map((name) => ({ name, road: /remote|ignition/.test(name) ? '' : name }));
  const all = switchesOf(inputs);
  assert.deepEqual(all.map((s) => s.name), ['stop', 'turn-lh', 'hazard', 'turn-rh', 'tail', 'remote-1', 'ignition']);
  assert.deepEqual(all[2]!.inputs, ['turn-lh', 'turn-rh']);
  assert.ok(!switchesOf(inputs.slice(0, 3)).some((s) => s.name === 'hazard'));
  const state = (on: BenchState['inputs']) => ({ inputs: on }) as BenchState;
  assert.equal(standing(all[2]!, state({ 'turn-lh': 'flash' })), '');
  assert.equal(standing(all[2]!, state({ 'turn-lh': 'flash', 'turn-rh': 'flash' })), 'flash');
  assert.equal(standing(all[0]!, null), '');
});

// shownOf plays levels of one group, ten milliseconds each, through the calm.
function shownOf(levels: number[], allowed = false): Film {
  const calm = new Calm(1);
  calm.allowed = allowed;
  const out = levels.map((l, i) => (calm.take(Uint8Array.of(l), i * 10), calm.shown[0]!));
  return { stepMs: 10, frames: out.length, groups: 1, first: new Map([['a', 0]]), lamps: [{ name: 'a', groups: 1 }], levels: Uint8Array.from(out), owners: null } as Film;
}
const blink = (hz: number, s: number, low = 0, high = 255) => Array.from({ length: s * 100 }, (_, i) => (((i * hz) / 100) % 1 < 0.5 ? high : low));

test('live light never flashes faster than three times a second, unless asked', () => {
  for (const hz of [1, 2, 3]) assert.deepEqual([...shownOf(blink(hz, 3)).levels], blink(hz, 3), `${hz} Hz is shown as it is`);
  for (const hz of [4, 5, 8, 12, 25]) {
    assert.ok(flashes(shownOf(blink(hz, 6))) <= 3, `${hz} Hz`);
    assert.ok(flashes(shownOf(blink(hz, 6, 60, 200))) <= 3, `${hz} Hz, not wholly dark`);
    assert.ok(flashes(shownOf(blink(hz, 6), true)) > 3, `${hz} Hz when asked for`);
  }
  let seed = 7;
  const random = Array.from({ length: 3000 }, () => (seed = (seed * 1103515245 + 12345) % 2147483648) % 256);
  assert.ok(flashes(shownOf(random)) <= 3, 'at random');
});

test('a slow change, and a bright flicker, pass', () => {
  const ramp = Array.from({ length: 256 }, (_, i) => i);
  assert.deepEqual([...shownOf(ramp).levels], ramp);
  assert.deepEqual([...shownOf(blink(20, 2, 240, 255)).levels], blink(20, 2, 240, 255));
});
