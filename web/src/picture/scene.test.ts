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
  assert.equal(Math.round(middle('rr') - middle('rl')), Math.round(1400 * s.scale), 'as far apart as on the car');
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
