// Where the LEDs of a pattern stand, for what is only being drawn: the server lays out every pattern again, strictly.

import type { Mapping } from '../../engine/tree';
import type { Point } from '../../engine/types';
import { millimetres } from '../../engine/units';
import { degrees, pointOf, pointsOf, type Kind } from './drawing';

const most = 4096; // LEDs of one pattern

// ledsOf gives the LEDs of a pattern; none where its values cannot be read.
export function ledsOf(kind: Kind, body: Mapping): Point[] {
  const length = (key: string) => (typeof body[key] === 'string' ? millimetres(body[key] as string) : null);
  const number = (key: string) => (typeof body[key] === 'string' && /^\d+$/.test(body[key] as string) ? Number(body[key]) : null);
  const counted = (reach: number, closed = false) => {
    const spacing = length('spacing');
    const n = number('count') ?? (spacing ? Math.round(reach / spacing) + (closed ? 0 : 1) : 0);
    return Math.min(most, Math.max(0, n));
  };
  switch (kind) {
    case 'led': {
      const at = pointOf(body.at);
      return at ? [at] : [];
    }
    case 'row':
    case 'column': {
      const from = pointOf(body.from);
      const axis = kind === 'row' ? 0 : 1;
      const to = pointOf(body.to);
      const reach = to && from ? to[axis] - from[axis] : length('length');
      if (!from || reach === null) return [];
      const n = counted(Math.abs(reach));
      return spread(n, (t): Point => (axis === 0 ? [from[0] + t * reach, from[1]] : [from[0], from[1] + t * reach]));
    }
    case 'grid': {
      const from = pointOf(body.from);
      const to = pointOf(body.to);
      const columns = number('columns') ?? 0;
      const rows = number('rows') ?? 0;
      if (!from || !to || columns * rows > most) return [];
      return spread(columns, (x) => spread(rows, (y): Point => [from[0] + x * (to[0] - from[0]), from[1] + y * (to[1] - from[1])])).flat();
    }
    case 'ring': {
      const centre = pointOf(body.centre);
      const radius = length('radius');
      const n = counted(0);
      const start = degrees(body.start) ?? 90;
      const way = body.turn === 'anticlockwise' ? 1 : -1;
      return centre && radius ? Array.from({ length: n }, (_, i) => onCircle(centre, radius, start + (way * 360 * i) / n)) : [];
    }
    case 'arc': {
      const centre = pointOf(body.centre);
      const radius = length('radius');
      const from = degrees(body.from);
      const to = degrees(body.to);
      if (!centre || !radius || from === null || to === null) return [];
      return spread(counted((Math.abs(to - from) * Math.PI * radius) / 180), (t) => onCircle(centre, radius, from + t * (to - from)));
    }
    case 'line': {
      const through = pointsOf(body.through);
      const closed = body.closed === 'true';
      const corners = closed && through.length > 0 ? [...through, through[0]!] : through;
      const reach = lengthOf(corners);
      if (corners.length < 2) return [];
      const n = counted(reach, closed);
      return Array.from({ length: n }, (_, i) => along(corners, (reach * i) / Math.max(1, closed ? n : n - 1)));
    }
  }
  return [];
}

// spread gives n points from 0 to 1.
const spread = <T>(n: number, at: (t: number) => T): T[] => Array.from({ length: n }, (_, i) => at(n > 1 ? i / (n - 1) : 0));

export const angleTo = (centre: Point, p: Point) => (Math.atan2(p[1] - centre[1], p[0] - centre[0]) * 180) / Math.PI;
export const onCircle = (centre: Point, radius: number, angle: number): Point => [centre[0] + radius * Math.cos((angle * Math.PI) / 180), centre[1] + radius * Math.sin((angle * Math.PI) / 180)];
export const distance = (a: Point, b: Point) => Math.hypot(a[0] - b[0], a[1] - b[1]);

// lengthOf is the length of a line through points.
export const lengthOf = (points: Point[]) => points.reduce((sum, p, i) => sum + (i > 0 ? distance(p, points[i - 1]!) : 0), 0);

// along gives the point that many mm from the beginning of a line.
export function along(points: Point[], at: number): Point {
  for (let i = 1; i < points.length; i++) {
    const [a, b] = [points[i - 1]!, points[i]!];
    const step = distance(a, b);
    if (at <= step || i === points.length - 1) {
      const t = step > 0 ? Math.min(1, at / step) : 0;
      return [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
    }
    at -= step;
  }
  return points[0]!;
}
