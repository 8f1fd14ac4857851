// What becomes of the points that are clicked or dragged: a pattern as the document writes it.

import type { Mapping } from '../../engine/tree';
import type { Point } from '../../engine/types';
import { pointsOf } from './drawing';
import { angleTo, distance, ledsOf, lengthOf } from './unroll';

export type Drawn = 'row' | 'column' | 'grid' | 'ring' | 'arc' | 'line'; // patterns that are drawn
export type Tool = 'choose' | 'led' | Drawn | 'outline' | 'path';

// needs is how many points a tool takes; Infinity until it is ended.
export const needs: Record<Tool, number> = { choose: 0, led: 1, row: 2, column: 2, grid: 2, ring: 2, arc: 3, line: Infinity, outline: Infinity, path: Infinity };

export interface Size {
  by: 'count' | 'spacing';
  count: number;
  spacing: number; // mm
  columns: number;
  rows: number;
}

export const mm = (v: number) => String(Number(v.toFixed(2)) + 0);
export const written = (p: Point): string[] => [mm(p[0]), mm(p[1])];
export const long = (v: number) => `${mm(v)} mm`;
const least = 0.05; // mm: what is shorter is a slip of the hand

// bodyOf gives the pattern through points, without name, group and part; null while they make none.
export function bodyOf(kind: Drawn, points: Point[], size: Size): Mapping | null {
  const [a, b, c] = points;
  if (!a || !b) return null;
  switch (kind) {
    case 'row':
      return straight(a, b[0] - a[0], 0, size);
    case 'column':
      return straight(a, b[1] - a[1], 1, size);
    case 'grid':
      return grid(a, b, size);
    case 'ring':
      return ring(a, b, size);
    case 'arc':
      return c ? arc(a, b, c, size) : null;
    case 'line':
      return line(points, size);
  }
}

const counted = (n: number, most = 4096) => Math.min(most, Math.max(1, Math.round(n) || 1));

// straight keeps a spacing whole: the last LED stands where a whole number of gaps ends.
function straight(from: Point, reach: number, axis: 0 | 1, size: Size): Mapping | null {
  if (Math.abs(reach) < least) return null;
  const gaps = Math.max(1, Math.round(Math.abs(reach) / size.spacing));
  const spaced = size.by === 'spacing';
  if (spaced) reach = Math.sign(reach) * gaps * size.spacing;
  else if (counted(size.count) === 1) reach = 0;
  const to: Point = axis === 0 ? [from[0] + reach, from[1]] : [from[0], from[1] + reach];
  const body: Mapping = { from: written(from), to: written(to) };
  if (spaced) body.spacing = long(size.spacing);
  else body.count = String(counted(size.count));
  return body;
}

function grid(from: Point, to: Point, size: Size): Mapping | null {
  const columns = counted(size.columns, 1000);
  const rows = counted(size.rows, 1000);
  const end: Point = [columns === 1 ? from[0] : to[0], rows === 1 ? from[1] : to[1]];
  if ((columns > 1 && Math.abs(end[0] - from[0]) < least) || (rows > 1 && Math.abs(end[1] - from[1]) < least)) return null;
  return { from: written(from), to: written(end), columns: String(columns), rows: String(rows) };
}

const near = 4; // degrees within which an angle goes to the nearest fifteenth

export function tidy(angle: number): number {
  const round = Math.round(angle / 15) * 15;
  return (Math.abs(angle - round) <= near ? round : Math.round(angle)) + 0;
}

function ring(centre: Point, first: Point, size: Size): Mapping | null {
  const radius = distance(centre, first);
  if (radius < least) return null;
  const start = tidy(angleTo(centre, first));
  const n = size.by === 'spacing' ? (2 * Math.PI * radius) / size.spacing : size.count;
  const body: Mapping = { centre: written(centre), radius: long(radius), count: String(Math.max(2, counted(n))) };
  if (start !== 90) body.start = `${start} deg`;
  return body;
}

// circleThrough gives the circle through three points; null when they lie in a line.
export function circleThrough(a: Point, b: Point, c: Point): { centre: Point; radius: number } | null {
  const [bx, by, cx, cy] = [b[0] - a[0], b[1] - a[1], c[0] - a[0], c[1] - a[1]];
  const d = 2 * (bx * cy - by * cx);
  const size = Math.max(Math.hypot(bx, by), Math.hypot(cx, cy));
  if (size < least || Math.abs(d) < 1e-4 * size * size) return null;
  const bb = bx * bx + by * by;
  const cc = cx * cx + cy * cy;
  const ux = (cy * bb - by * cc) / d;
  const uy = (bx * cc - cx * bb) / d;
  return { centre: [a[0] + ux, a[1] + uy], radius: Math.hypot(ux, uy) };
}

// arc goes from the first point to the last, by way of the third.
function arc(first: Point, last: Point, via: Point, size: Size): Mapping | null {
  const circle = circleThrough(first, last, via);
  if (!circle || circle.radius > 2000) return null;
  const from = angleTo(circle.centre, first);
  const on = (p: Point) => (((angleTo(circle.centre, p) - from) % 360) + 360) % 360; // anticlockwise from the first
  const sweep = on(via) < on(last) ? on(last) : on(last) - 360;
  const n = size.by === 'spacing' ? (Math.abs(sweep) * Math.PI * circle.radius) / 180 / size.spacing + 1 : size.count;
  const angle = (v: number) => `${Number(v.toFixed(1)) + 0} deg`;
  return { centre: written(circle.centre), radius: long(circle.radius), from: angle(from), to: angle(from + sweep), count: String(Math.max(2, counted(n))) };
}

function line(points: Point[], size: Size): Mapping | null {
  const corners = apart(points);
  if (corners.length < 2) return null;
  const n = size.by === 'spacing' ? lengthOf(corners) / size.spacing + 1 : size.count;
  return { through: corners.map(written), count: String(Math.max(2, counted(n))) };
}

// apart leaves out points that stand on the one before them, as the second click of a double click does.
export const apart = (points: Point[]) => points.filter((p, i) => i === 0 || distance(p, points[i - 1]!) >= least);

// reachOf is the length of a line pattern.
export function reachOf(body: Mapping): number {
  const through = pointsOf(body.through);
  return lengthOf(body.closed === 'true' && through[0] ? [...through, through[0]] : through);
}

// inWords says what a pattern is while it is dragged.
export function inWords(kind: Drawn, body: Mapping): string {
  const leds = ledsOf(kind, body);
  if (leds.length === 0) return '';
  const n = `${leds.length} LED${leds.length === 1 ? '' : 's'}`;
  const reach = kind === 'line' ? reachOf(body) : lengthOf(leds);
  const gaps = leds.length - (body.closed === 'true' ? 0 : 1);
  const gap = leds.length < 2 ? 0 : kind === 'line' ? reach / gaps : distance(leds[0]!, leds[1]!);
  if (kind === 'grid') {
    const rows = Number(body.rows);
    const across = leds[rows] ? distance(leds[0]!, leds[rows]!) : 0;
    return `${n}, ${[across, rows > 1 ? gap : 0].filter((v) => v > 0).map(mm).join(' × ')} mm apart`;
  }
  const first = kind === 'ring' || kind === 'arc' ? `radius ${String(body.radius)}` : long(reach);
  return `${first}, ${n}${gap > 0 ? `, ${long(gap)} apart` : ''}`;
}

// groupings offers the ways in which LEDs can be divided without a rest.
export function groupings(count: number, columns = 0, rows = 0): string[] {
  const divisors = (n: number) => Array.from({ length: Math.min(n, 4096) }, (_, i) => i + 1).filter((d) => n % d === 0);
  const plural = (n: number, word: string) => `${n} ${word}${n === 1 ? '' : 's'}`;
  const out = ['each', 'all'];
  for (const d of divisors(columns)) if (columns > 1 && d < columns) out.push(plural(d, 'column'));
  for (const d of divisors(rows)) if (rows > 1 && d < rows) out.push(plural(d, 'row'));
  for (const d of divisors(count)) if (d > 1 && d < count) out.push(String(d));
  return out.slice(0, 40);
}
