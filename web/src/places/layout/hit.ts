// What lies under a point of the sheet. Reaches are millimetres.

import type { Point } from '../../engine/types';
import type { Drawing, Item } from './drawing';
import type { Handle } from './handles';
import { distance } from './unroll';

const nearest = <T>(all: readonly T[], at: (t: T) => Point, p: Point, reach: number): T | null => {
  let best: T | null = null;
  let least = reach;
  for (const t of all) {
    const d = distance(at(t), p);
    if (d <= least) {
      best = t;
      least = d;
    }
  }
  return best;
};

export const handleAt = (handles: readonly Handle[], p: Point, reach: number) => nearest([...handles].reverse(), (h) => h.at, p, reach);

// ledAt gives an LED by its place in the lamp, or -1.
export function ledAt(d: Drawing, p: Point, reach: number): number {
  let best = -1;
  let least = reach;
  d.lamp.leds.forEach(([x, y], i) => {
    const away = Math.hypot(x - p[0], y - p[1]);
    if (away <= least) {
      best = i;
      least = away;
    }
  });
  return best;
}

// lineAt gives a light path or the outline that runs through a point.
export function lineAt(d: Drawing, p: Point, reach: number): Item | null {
  for (const path of d.paths) if (toLine(path.points, false, p) <= reach) return `paths.${path.name}`;
  return d.lamp.outline.length > 1 && toLine(d.lamp.outline, true, p) <= reach ? 'outline' : null;
}

function toLine(points: readonly Point[], closed: boolean, p: Point): number {
  let least = Infinity;
  const n = points.length;
  for (let i = closed ? 0 : 1; i < n; i++) {
    const a = points[(i + n - 1) % n]!;
    const b = points[i]!;
    const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
    const t = Math.max(0, Math.min(1, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy || 1)));
    least = Math.min(least, Math.hypot(a[0] + t * dx - p[0], a[1] + t * dy - p[1]));
  }
  return least;
}

export const indexAt = (points: readonly Point[], p: Point, reach: number): number => {
  const best = nearest(points.map((at, i) => ({ at, i })), (q) => q.at, p, reach);
  return best ? best.i : -1;
};

// within tells whether a point lies in the rectangle between two corners.
export const within = (a: Point, b: Point, p: readonly number[]) =>
  p[0]! >= Math.min(a[0], b[0]) && p[0]! <= Math.max(a[0], b[0]) && p[1]! >= Math.min(a[1], b[1]) && p[1]! <= Math.max(a[1], b[1]);
