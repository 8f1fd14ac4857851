import assert from 'node:assert/strict';
import { test } from 'node:test';
import type { Area } from '../../picture/scene';
import { spotNear } from './spots';

const sheet = { w: 400, h: 200 };
const apart = (a: Area, b: Area) => Math.abs(a.x - b.x) * 2 >= a.w + b.w || Math.abs(a.y - b.y) * 2 >= a.h + b.h;

test('words stand above or below their grip where nothing is written', () => {
  assert.deepEqual(spotNear({ x: 200, y: 100 }, 80, 18, false, [], sheet), { x: 200, y: 78, w: 80, h: 18 });
  assert.deepEqual(spotNear({ x: 200, y: 100 }, 80, 18, true, [], sheet), { x: 200, y: 122, w: 80, h: 18 });
});

test('words cover no title, and no other words', () => {
  const taken: Area[] = [{ x: 200, y: 75, w: 200, h: 28 }];
  for (const grip of [{ x: 200, y: 100 }, { x: 205, y: 104 }, { x: 396, y: 100 }, { x: 4, y: 4 }]) {
    const at = spotNear(grip, 80, 18, false, taken, sheet);
    for (const t of taken) assert.ok(apart(at, t), `${JSON.stringify(at)} lies over ${JSON.stringify(t)}`);
    assert.ok(at.x >= 40 && at.x <= 360 && at.y >= 9 && at.y <= 191, JSON.stringify(at));
    taken.push(at);
  }
});

test('where it can be clear nowhere, it covers least', () => {
  const full: Area[] = [{ x: 200, y: 60, w: 400, h: 120 }, { x: 200, y: 170, w: 10, h: 90 }];
  const at = spotNear({ x: 200, y: 130 }, 80, 18, false, full, sheet);
  assert.ok(apart(at, full[0]!), JSON.stringify(at));
});
