// Snapping: a point goes to an LED or a bright spot nearby, in line with one, or to the grid.

import type { Point } from '../../engine/types';

export interface Snap {
  to: Point;
  on: '' | 'grid' | 'LED' | 'spot' | 'corner' | 'line'; // what it went to
  guides: Point[]; // what it is in line with
}

export interface Field {
  points: { at: Point; what: 'LED' | 'spot' | 'corner' }[];
  grid: number; // mm; 0: none
  reach: number; // mm that a point goes at most
}

// snap moves a point to what is near: things themselves first, then lines through them, across and up, then the grid.
export function snap(p: Point, f: Field): Snap {
  let best: Field['points'][number] | null = null;
  let least = f.reach;
  let inX: Point | null = null;
  let inY: Point | null = null;
  const near = Math.min(f.reach * 0.6, f.grid > 0 ? f.grid * 0.6 : Infinity); // in line, and yet every place of the grid can be had
  let leastX = near;
  let leastY = near;
  for (const q of f.points) {
    const dx = Math.abs(q.at[0] - p[0]);
    const dy = Math.abs(q.at[1] - p[1]);
    const d = Math.hypot(dx, dy);
    if (d < least || (d === least && !best)) {
      best = q;
      least = d;
    }
    if (dx < leastX) {
      leastX = dx;
      inX = q.at;
    }
    if (dy < leastY) {
      leastY = dy;
      inY = q.at;
    }
  }
  if (best) return { to: best.at, on: best.what, guides: [] };
  const gx = f.grid > 0 ? Math.round(p[0] / f.grid) * f.grid : p[0];
  const gy = f.grid > 0 ? Math.round(p[1] / f.grid) * f.grid : p[1];
  const guides = [inX, inY].filter((g): g is Point => g !== null);
  return { to: [inX ? inX[0] : round(gx), inY ? inY[1] : round(gy)], on: guides.length > 0 ? 'line' : f.grid > 0 ? 'grid' : '', guides };
}

const round = (v: number) => Number(v.toFixed(4));
