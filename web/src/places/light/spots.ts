// Where the words of a handle stand: near it, clear of what is written in the picture already.

import type { Area } from '../../picture/scene';

const clear = 3; // dots that are kept free around

const over = (a: Area, b: Area) => Math.max(0, (a.w + b.w) / 2 + clear - Math.abs(a.x - b.x)) * Math.max(0, (a.h + b.h) / 2 + clear - Math.abs(a.y - b.y));

// spotNear gives the middle of a box of w by h beside a grip: above or below it first, then to a side, then farther away; where it covers
// least when it can be clear nowhere. The box stays within the sheet.
export function spotNear(grip: { x: number; y: number }, w: number, h: number, below: boolean, taken: Area[], sheet: { w: number; h: number }): Area {
  const beside = w / 2 + 13;
  const ways: [number, number][] = [];
  for (const far of [1, 2, 3]) {
    const up = far * (h + 2) + 2;
    const first = below ? up : -up;
    ways.push([0, first], [0, -first], [beside, first / 2], [-beside, first / 2], [beside, 0], [-beside, 0], [beside, -first / 2], [-beside, -first / 2]);
  }
  let best: Area | null = null;
  let least = Infinity;
  for (const [dx, dy] of ways) {
    const at = {
      x: Math.min(Math.max(grip.x + dx, w / 2 + 2), sheet.w - w / 2 - 2),
      y: Math.min(Math.max(grip.y + dy, h / 2 + 2), sheet.h - h / 2 - 2),
      w,
      h,
    };
    const covers = taken.reduce((sum, t) => sum + over(at, t), 0);
    if (covers < least) [best, least] = [at, covers];
    if (covers === 0) break;
  }
  return best!;
}
