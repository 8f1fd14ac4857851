import assert from 'node:assert/strict';
import { test } from 'node:test';
import { after, apply, css, inverse, mapOf, scaleAt, type Known, type Map3 } from './homography';
import type { Point } from './types';

const near = (got: Point, want: Point, within = 1e-6) => assert.ok(Math.hypot(got[0] - want[0], got[1] - want[1]) < within, `${got} is not ${want}`);

// A sequence that looks random and is the same every time: Park and Miller, Random number generators, 1988.
let seed = 1;
const random = (from: number, to: number) => from + ((to - from) * (seed = (seed * 48271) % 2147483647)) / 2147483647;

test('two points give scale and turn', () => {
  const m = mapOf([{ pixel: [100, 500], at: [0, 0] }, { pixel: [300, 500], at: [50, 0] }])!;
  near(apply(m, [100, 500]), [0, 0]);
  near(apply(m, [300, 500]), [50, 0]);
  near(apply(m, [100, 100]), [0, 100]); // up in the picture is up on the lamp
  assert.ok(Math.abs(scaleAt(m, [200, 200]) - 0.25) < 1e-9);
  const turned = mapOf([{ pixel: [0, 0], at: [0, 0] }, { pixel: [0, -10], at: [10, 0] }])!; // up in the picture is right on the lamp
  near(apply(turned, [10, 0]), [0, -10]);
});

test('points that fix no map give none', () => {
  assert.equal(mapOf([]), null);
  assert.equal(mapOf([{ pixel: [1, 1], at: [0, 0] }]), null);
  assert.equal(mapOf([{ pixel: [1, 1], at: [0, 0] }, { pixel: [1, 1], at: [9, 0] }]), null);
  assert.equal(mapOf([{ pixel: [1, 1], at: [4, 4] }, { pixel: [8, 1], at: [4, 4] }]), null);
  const square: Known[] = [{ pixel: [0, 0], at: [0, 0] }, { pixel: [10, 0], at: [10, 0] }, { pixel: [20, 0], at: [20, 1] }, { pixel: [0, 10], at: [0, 9] }];
  assert.equal(mapOf(square), null); // three in a line of the picture
  assert.equal(mapOf([{ pixel: [0, 0], at: [0, 0] }, { pixel: [10, 0], at: [10, 0] }, { pixel: [10, 10], at: [0, 10] }, { pixel: [0, 10], at: [10, 10] }]), null); // crossed
});

test('four points give back any view of a plane', () => {
  for (let i = 0; i < 300; i++) {
    const view: Map3 = [random(1, 9), random(-2, 2), random(0, 900), random(-2, 2), -random(1, 9), random(0, 900), random(-2e-3, 2e-3), random(-2e-3, 2e-3), 1];
    const corners: Point[] = [[0, 0], [180, 5], [170, 120], [-5, 110]];
    const m = mapOf(corners.map((at): Known => ({ pixel: apply(view, at), at })))!;
    assert.ok(m, `view ${view}`);
    for (let k = 0; k < 10; k++) {
      const at: Point = [random(0, 170), random(5, 105)];
      near(apply(m, apply(view, at)), at, 1e-4);
    }
  }
});

test('a map and its inverse are nothing together', () => {
  const m: Map3 = [2, 0.3, 10, -0.2, -3, 20, 1e-3, 2e-3, 1];
  const p: Point = [12, 34];
  near(apply(inverse(m)!, apply(m, p)), p);
  near(apply(after(inverse(m)!, m), p), p);
  assert.equal(inverse([1, 2, 0, 2, 4, 0, 0, 0, 1]), null);
});

test('the style is by columns', () => {
  assert.equal(css([1, 2, 3, 4, 5, 6, 7, 8, 1]), 'matrix3d(1, 4, 0, 7, 2, 5, 0, 8, 0, 0, 1, 0, 3, 6, 0, 1)');
  assert.equal(css([2, 0, 4, 0, 2, 6, 0, 0, 2]), 'matrix3d(1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 2, 3, 0, 1)');
});
