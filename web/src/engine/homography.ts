// Maps of the plane: from the pixels of a photo to the millimetres of a lamp, and on to the screen.
//
// Two known points give scale and turn, four the perspective as well (Hartley and Zisserman, Multiple View Geometry, 2nd edition 2004,
// 2.3 and 4.1: a plane seen by a camera is a projective map of it, and four points in general position fix that map).

import type { Point } from './types';

// Map is a projective map, by rows: x' = (m0 x + m1 y + m2) / w, y' = (m3 x + m4 y + m5) / w, w = m6 x + m7 y + m8.
export type Map3 = [number, number, number, number, number, number, number, number, number];

export interface Known {
  pixel: Point;
  at: Point; // mm, y up
}

// mapOf gives the map from pixels to millimetres; null when the points fix none: too few, two on one spot, or three in a line.
export function mapOf(known: Known[]): Map3 | null {
  if (known.length === 4) return perspective(known);
  return known.length === 2 ? similarity(known[0]!, known[1]!) : null;
}

// similarity turns and scales; y is turned over, for pixels go down and millimetres up.
function similarity(a: Known, b: Known): Map3 | null {
  const px = b.pixel[0] - a.pixel[0];
  const py = a.pixel[1] - b.pixel[1]; // up
  const mx = b.at[0] - a.at[0];
  const my = b.at[1] - a.at[1];
  const square = px * px + py * py;
  if (square < 1e-9 || mx * mx + my * my < 1e-12) return null;
  const c = (mx * px + my * py) / square; // scale × cosine
  const s = (my * px - mx * py) / square; // scale × sine
  return [c, s, a.at[0] - c * a.pixel[0] - s * a.pixel[1], s, -c, a.at[1] - s * a.pixel[0] + c * a.pixel[1], 0, 0, 1];
}

// perspective solves the eight equations of four pairs; pixels are scaled first, so that the numbers are of one size.
function perspective(known: Known[]): Map3 | null {
  const unit = Math.max(1, ...known.flatMap((k) => k.pixel.map(Math.abs)));
  const rows: number[][] = [];
  for (const k of known) {
    const x = k.pixel[0] / unit;
    const y = k.pixel[1] / unit;
    const [u, v] = k.at;
    rows.push([x, y, 1, 0, 0, 0, -u * x, -u * y, u], [0, 0, 0, x, y, 1, -v * x, -v * y, v]);
  }
  const m = solve(rows);
  if (!m) return null;
  const map: Map3 = [m[0]! / unit, m[1]! / unit, m[2]!, m[3]! / unit, m[4]! / unit, m[5]!, m[6]! / unit, m[7]! / unit, 1];
  // All four must lie on one side of the horizon, else the picture would be torn.
  const sides = known.map((k) => Math.sign(map[6] * k.pixel[0] + map[7] * k.pixel[1] + 1));
  if (sides[0] === 0 || sides.some((s) => s !== sides[0]) || Math.abs(determinant(map)) < 1e-18) return null;
  return map.map((v) => v * sides[0]!) as Map3; // w is above 0 where the lamp is
}

// solve is Gauss's elimination with the largest pivot, of n rows with n + 1 numbers each.
function solve(rows: number[][]): number[] | null {
  const n = rows.length;
  for (let i = 0; i < n; i++) {
    let best = i;
    for (let r = i + 1; r < n; r++) if (Math.abs(rows[r]![i]!) > Math.abs(rows[best]![i]!)) best = r;
    [rows[i], rows[best]] = [rows[best]!, rows[i]!];
    const p = rows[i]!;
    if (Math.abs(p[i]!) < 1e-9) return null;
    for (let r = 0; r < n; r++) {
      if (r === i) continue;
      const f = rows[r]![i]! / p[i]!;
      if (f !== 0) for (let c = i; c <= n; c++) rows[r]![c]! -= f * p[c]!;
    }
  }
  return rows.map((row, i) => row[n]! / row[i]!);
}

export function apply(m: Map3, [x, y]: Point): Point {
  const w = m[6] * x + m[7] * y + m[8];
  return [(m[0] * x + m[1] * y + m[2]) / w, (m[3] * x + m[4] * y + m[5]) / w];
}

// after gives the map that does first b, then a.
export function after(a: Map3, b: Map3): Map3 {
  const out = [];
  for (let r = 0; r < 3; r++) for (let c = 0; c < 3; c++) out.push(a[3 * r]! * b[c]! + a[3 * r + 1]! * b[3 + c]! + a[3 * r + 2]! * b[6 + c]!);
  return out as Map3;
}

const determinant = (m: Map3) => m[0] * (m[4] * m[8] - m[5] * m[7]) - m[1] * (m[3] * m[8] - m[5] * m[6]) + m[2] * (m[3] * m[7] - m[4] * m[6]);

export function inverse(m: Map3): Map3 | null {
  const d = determinant(m);
  if (!Number.isFinite(1 / d)) return null;
  const [a, b, c, e, f, g, h, i, k] = m;
  return [f * k - g * i, c * i - b * k, b * g - c * f, g * h - e * k, a * k - c * h, c * e - a * g, e * i - f * h, b * h - a * i, a * f - b * e].map((v) => v / d) as Map3;
}

// css writes a map as the style of an element whose upper left corner is its origin. CSS Transforms 2: matrix3d goes by columns, and what
// has w below 0 is not shown.
export function css(m: Map3): string {
  const n = m.map((v) => v / Math.abs(m[8] || 1));
  return `matrix3d(${[n[0], n[3], 0, n[6], n[1], n[4], 0, n[7], 0, 0, 1, 0, n[2], n[5], 0, 1].map((v) => Number(v!.toPrecision(12))).join(', ')})`;
}

// scaleAt is how many units one unit becomes at a point, as the mean of both directions.
export function scaleAt(m: Map3, [x, y]: Point): number {
  const [ax, ay] = apply(m, [x - 0.5, y]);
  const [bx, by] = apply(m, [x + 0.5, y]);
  const [cx, cy] = apply(m, [x, y - 0.5]);
  const [dx, dy] = apply(m, [x, y + 0.5]);
  return Math.sqrt(Math.abs((bx - ax) * (dy - cy) - (by - ay) * (dx - cx)));
}
