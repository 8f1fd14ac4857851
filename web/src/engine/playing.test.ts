import assert from 'node:assert/strict';
import { test } from 'node:test';
import { film, frameAt, lightOf, type Film } from './film';
import { flashes, slowdown } from './flash';
import { Player, type Clock } from './player';

test('levels are lightness: CIE 1976 L* to Y', () => {
  // CIE 15: L* = 50 is Y = 0.18419; 8 is the end of the straight part, Y = 8 · 27/24389.
  assert.equal(lightOf[0], 0);
  assert.equal(lightOf[255], 1);
  assert.ok(Math.abs(lightOf[128]! - ((((128 * 100) / 255 + 16) / 116) ** 3)) < 1e-6);
  assert.ok(Math.abs(lightOf[20]! - (((20 * 100) / 255) * 27) / 24389) < 1e-6);
});

test('a film is unpacked, and bounded by what has really come', () => {
  const f = film({ stepMs: 16, frames: 9, lamps: [{ name: 'a', groups: 2 }, { name: 'b', groups: 1 }], levels: btoa('\x00\x01\x02\x03\x04\x05') });
  assert.deepEqual([f.groups, f.frames, f.first.get('b')], [3, 2, 2]);
  assert.deepEqual([...frameAt(f, 17)], [3, 4, 5]);
  assert.deepEqual([...frameAt(f, 1e9)], [3, 4, 5]);
  assert.equal(film({ stepMs: 16, frames: 5, lamps: [], levels: '' }).frames, 0);
});

function one(levels: number[], stepMs = 10): Film {
  return { stepMs, frames: levels.length, groups: 1, first: new Map([['a', 0]]), lamps: [{ name: 'a', groups: 1 }], levels: Uint8Array.from(levels), owners: null };
}

// blink is on and off, so many times a second, for so long.
const blink = (hz: number, s: number, low = 0, high = 255) => one(Array.from({ length: s * 100 }, (_, i) => (((i * hz) / 100) % 1 < 0.5 ? high : low)));

test('flashes are counted within any second', () => {
  for (const hz of [1, 2, 3]) assert.ok(flashes(blink(hz, 4)) <= hz, `${hz} Hz`);
  for (const hz of [5, 10]) assert.ok(flashes(blink(hz, 4)) >= hz - 1, `${hz} Hz`);
  assert.equal(flashes(one(Array(400).fill(200))), 0);
  assert.equal(flashes(blink(10, 2, 240, 255)), 0, 'both bright: no flash');
  assert.equal(flashes(blink(10, 2, 0, 60)), 0, 'less than a tenth: no flash');
});

test('going round counts too, and a rest calms it', () => {
  const sweep = one([0, 0, 0, 0, 0, 0, 0, 255, 255, 255, 255, 255, 255, 255, 255]); // 150 ms
  assert.ok(flashes(sweep) <= 1);
  assert.ok(flashes(sweep, true) > 3);
  assert.ok(flashes(sweep, true, 350) <= 3);
});

test('slowed as much as is needed', () => {
  assert.equal(slowdown(3), 1);
  assert.equal(slowdown(6), 2);
});

class Hands implements Clock {
  t = 0;
  next: (() => void) | null = null;
  now = () => this.t;
  frame = (f: () => void) => {
    this.next = f;
    return 1;
  };
  stop = () => (this.next = null);
  tick(ms: number) {
    this.t += ms;
    const f = this.next;
    this.next = null;
    f?.();
  }
}

test('the player runs, loops, rests, slows and stops', () => {
  const hands = new Hands();
  const p = new Player(hands);
  const seen: number[] = [];
  p.each((ms) => seen.push(ms));
  p.play();
  assert.equal(p.playing, false, 'nothing to play yet');
  p.load(100);
  p.play();
  hands.tick(40);
  assert.equal(p.at, 40);
  p.restMs = 50;
  hands.tick(80);
  assert.equal(seen.at(-1), 100, 'it rests at its end');
  hands.tick(50);
  assert.equal(p.at, 20);
  p.speed = 0.5;
  hands.tick(20);
  assert.equal(p.at, 30);
  p.loop = false;
  hands.tick(1000);
  assert.deepEqual([p.playing, p.at], [false, 100]);
  p.play();
  assert.equal(p.at, 0, 'it begins anew');
  p.seek(-5);
  assert.equal(p.at, 0);
});
