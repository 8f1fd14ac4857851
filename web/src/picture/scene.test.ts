import assert from 'node:assert/strict';
import { test } from 'node:test';
import type { Lamp } from '../engine/types';
import { x, y } from './base';
import { arrange, pitchOf } from './scene';

function lamp(name: string, end: 'rear' | 'front', at: number, w = 100, h = 50): Lamp {
  const outline: [number, number][] = [[0, 0], [w, 0], [w, h], [0, h]];
  return {
    name, kind: '', oppositeOf: '', place: { end, side: at < 0 ? 'LH' : 'RH', x: at, y: 900 }, outline,
    leds: [[10, 25, 0], [20, 25, 0], [90, 25, 1]], groups: [{ name: 'a.1', colour: 'red' }, { name: 'a.2', colour: 'red' }], zones: [], paths: [], functions: [],
  };
}

const sheet = { width: 1000, height: 500, letter: 1 };

test('from behind LH is left, from the front it is right', () => {
  const s = arrange([lamp('rl', 'rear', -700), lamp('rr', 'rear', 700), lamp('fl', 'front', -500), lamp('fr', 'front', 500)], sheet);
  const middle = (name: string) => {
    const p = s.lamps.find((l) => l.lamp.name === name)!;
    return x(s, p, 50);
  };
  assert.ok(middle('rl') < middle('rr'));
  assert.ok(middle('fr') < middle('fl'));
  assert.equal(s.views.map((v) => v.breaks.length).join(), '1,1');
});

test('neighbours are as far apart as on the car, until the empty space is wider than the widest lamp', () => {
  const apart = (...lamps: Lamp[]) => {
    const s = arrange(lamps, sheet);
    const mm = lamps.map((l) => (x(s, s.lamps.find((p) => p.lamp === l)!, 0) - x(s, s.lamps.find((p) => p.lamp === lamps[0])!, 0)) / s.scale);
    return [mm.map(Math.round).join(), s.views[0]!.breaks.map((b) => Math.round(b.mm)).join()];
  };
  assert.deepEqual(apart(lamp('a', 'rear', -300), lamp('b', 'rear', -110), lamp('c', 'rear', 100)), ['0,190,390', '110']);
  assert.deepEqual(apart(lamp('a', 'rear', -100), lamp('b', 'rear', 100)), ['0,200', '']);
  assert.deepEqual(apart(lamp('a', 'rear', -700), lamp('b', 'rear', 700)), ['0,200', '1300']);
  assert.deepEqual(apart(lamp('a', 'rear', -700), lamp('wide', 'rear', -60, 400), lamp('b', 'rear', 700)), ['0,490,1290', '510']);
  assert.deepEqual(apart(lamp('b', 'rear', 700), lamp('a', 'rear', -700), lamp('m', 'rear', 0)), ['0,-400,-200', '600,600']);
});

test('true scale, y up, all within the sheet', () => {
  for (const size of [sheet, { width: 400, height: 800, letter: 1 }, { width: 3840, height: 1600, letter: 1.6 }]) {
    const s = arrange([lamp('rl', 'rear', -700), lamp('rr', 'rear', 700), lamp('fl', 'front', -500)], size);
    for (const p of s.lamps) {
      assert.ok(Math.abs(x(s, p, 100) - x(s, p, 0) - 100 * s.scale) < 1e-9);
      assert.ok(y(s, p, 50) < y(s, p, 0));
      assert.ok(x(s, p, 0) >= 0 && x(s, p, 100) <= size.width, `${size.width}`);
      assert.ok(y(s, p, 50) >= 0 && y(s, p, 0) <= size.height, `${size.height}`);
    }
  }
});

test('nothing to draw is no fault, nor is a sheet too small', () => {
  assert.equal(arrange([], sheet).lamps.length, 0);
  assert.ok(arrange([lamp('rl', 'rear', -700)], { width: 5, height: 5, letter: 1 }).scale > 0);
  const bare = { ...lamp('x', 'rear', 0), outline: [], leds: [] };
  assert.equal(arrange([bare], sheet).lamps.length, 0);
});

test('the pitch is that of neighbours', () => {
  assert.equal(pitchOf(lamp('a', 'rear', 0)), 10);
  assert.ok(pitchOf({ ...lamp('a', 'rear', 0), leds: [[0, 0, 0]] }) > 0);
});

test('LEDs without an outline stand clear of the edges and of what is written above them', () => {
  const bare = { ...lamp('a', 'rear', 0), outline: [] };
  const s = arrange([bare], sheet);
  const [p] = s.lamps;
  const reach = (p!.pitch / 2) * s.scale;
  assert.ok(reach > 10);
  assert.ok(x(s, p!, 10) - reach >= 0 && x(s, p!, 90) + reach <= sheet.width);
  assert.ok(y(s, p!, 25) - reach >= s.views[0]!.top);
});

test('where there is little room the lamps are still seen, side by side and within the sheet', () => {
  const car = [lamp('rl', 'rear', -700, 180, 320), lamp('rr', 'rear', 700, 180, 320), lamp('bar', 'rear', 0, 1100, 20), lamp('fl', 'front', -500, 400, 20), lamp('fr', 'front', 500, 400, 20)];
  for (const [width, height] of [[430, 105], [300, 90], [240, 130]] as const) {
    const s = arrange(car, { width, height, letter: 1 });
    assert.ok(s.small, `${width} by ${height}`);
    for (const p of s.lamps) {
      const [x0, x1] = [x(s, p, 0), x(s, p, p.lamp.outline[1]![0])];
      assert.ok(x0 >= 0 && x1 <= width && y(s, p, p.lamp.outline[2]![1]) >= 0 && y(s, p, 0) <= height, `${p.lamp.name} in ${width} by ${height}: ${x0}..${x1}`);
    }
  }
  const middling = arrange(car, { width: 430, height: 200, letter: 1 });
  assert.ok(middling.small && middling.named, 'short titles leave room for names');
  const large = arrange(car, { width: 1184, height: 560, letter: 1 });
  assert.ok(!large.small && large.named);
});
