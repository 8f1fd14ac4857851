// Handles of what is chosen: the points by which it can be changed, and what it becomes when one is dragged.

import { at, type Mapping } from '../../engine/tree';
import type { Point, Value } from '../../engine/types';
import { millimetres } from '../../engine/units';
import { degrees, lineOf, patternOf, pointOf, type Drawing, type Item, type Kind } from './drawing';
import { long, mm, tidy, written } from './shapes';
import { angleTo, distance, ledsOf, onCircle } from './unroll';

export interface Handle {
  id: string;
  at: Point;
  says: string;
  corner?: number; // of a line: its place
  insert?: number; // of a line: a new corner would take this place
}

// Change is what a drag would do: new values of a pattern, or a corner of a line.
export type Change =
  | { item: Item; values: Mapping; leds: Point[] }
  | { item: Item; corner: number; to: Point; insert: boolean; line: Point[]; closed: boolean; leds: Point[] };

export function handlesOf(tree: Value | null, d: Drawing, item: Item): Handle[] {
  const p = patternOf(d, item);
  if (d.hand) return [];
  if (!p || p.kind === 'line') return corners(tree, d, item);
  const b = p.body;
  const from = pointOf(b.from);
  const to = pointOf(b.to);
  switch (p.kind) {
    case 'row':
    case 'column': {
      const end = last(p.kind, b);
      return from && end ? [{ id: 'from', at: from, says: 'first LED' }, { id: 'to', at: end, says: 'last LED' }] : [];
    }
    case 'grid':
      if (!from || !to) return [];
      return [
        { id: 'from', at: from, says: 'first corner' },
        { id: 'across', at: [to[0], from[1]], says: 'corner' },
        { id: 'to', at: to, says: 'last corner' },
        { id: 'up', at: [from[0], to[1]], says: 'corner' },
      ];
    case 'ring':
    case 'arc': {
      const c = circle(b);
      if (!c) return [];
      const first = p.kind === 'ring' ? (degrees(b.start) ?? 90) : degrees(b.from);
      const end = p.kind === 'arc' ? degrees(b.to) : null;
      const out: Handle[] = [{ id: 'centre', at: c.centre, says: 'centre' }];
      if (first !== null) out.push({ id: 'first', at: onCircle(c.centre, c.radius, first), says: 'first LED' });
      if (end !== null) out.push({ id: 'last', at: onCircle(c.centre, c.radius, end), says: 'last LED' });
      out.push({ id: 'radius', at: onCircle(c.centre, c.radius, end !== null && first !== null ? (first + end) / 2 : (first ?? 90) + 180), says: 'radius' });
      return out;
    }
  }
  return [];
}

function corners(tree: Value | null, d: Drawing, item: Item): Handle[] {
  const line = lineOf(tree, d, item);
  if (!line) return [];
  const points = line.points.map(pointOf);
  const out: Handle[] = [];
  points.forEach((p, i) => {
    const next = points[i + 1] ?? (line.closed && points.length > 2 ? points[0] : undefined);
    if (p && next) out.push({ id: `new-${i}`, at: [(p[0] + next[0]) / 2, (p[1] + next[1]) / 2], says: 'a new corner', insert: i + 1 });
  });
  points.forEach((p, i) => p && out.push({ id: `corner-${i}`, at: p, says: `corner ${i + 1}`, corner: i })); // above the others
  return out;
}

const circle = (b: Mapping) => {
  const centre = pointOf(b.centre);
  const radius = typeof b.radius === 'string' ? millimetres(b.radius) : null;
  return centre && radius ? { centre, radius } : null;
};

// last gives the place of the last LED of a row or column.
function last(kind: Kind, b: Mapping): Point | null {
  const from = pointOf(b.from);
  const to = pointOf(b.to);
  const reach = typeof b.length === 'string' ? millimetres(b.length) : null;
  if (to || !from || reach === null) return to;
  return kind === 'row' ? [from[0] + reach, from[1]] : [from[0], from[1] + reach];
}

// dragged gives what becomes of an item when a handle goes to a point; null when that makes nothing.
export function dragged(tree: Value | null, d: Drawing, item: Item, h: Handle, to: Point): Change | null {
  const p = patternOf(d, item);
  if (h.corner !== undefined || h.insert !== undefined) {
    const line = lineOf(tree, d, item)!;
    const points = line.points.map(pointOf).filter((q): q is Point => q !== null);
    const insert = h.insert !== undefined;
    const corner = h.corner ?? h.insert!;
    points.splice(corner, insert ? 0 : 1, to);
    const leds = p ? ledsOf('line', { ...p.body, through: points.map(written) }) : [];
    return { item, corner, to, insert, line: points, closed: line.closed, leds };
  }
  if (!p) return null;
  const values = valuesOf(p.kind, p.body, h.id, to);
  return values && { item, values, leds: ledsOf(p.kind, { ...p.body, ...values }) };
}

function valuesOf(kind: Kind, b: Mapping, id: string, to: Point): Mapping | null {
  if (kind === 'row' || kind === 'column') {
    const axis = kind === 'row' ? 0 : 1;
    const from = pointOf(b.from)!;
    const end = last(kind, b)!;
    const spacing = typeof b.spacing === 'string' ? millimetres(b.spacing) : null;
    const held = id === 'from' ? end : from;
    let reach = to[axis] - held[axis];
    if (spacing) reach = Math.sign(reach) * Math.max(1, Math.round(Math.abs(reach) / spacing)) * spacing;
    if (Math.abs(reach) < 0.05) return null;
    const place: Point = axis === 0 ? [held[0] + reach, held[1]] : [held[0], held[1] + reach];
    if ('length' in b) return id === 'from' ? { from: written(place), length: long(-reach) } : { length: long(reach) };
    return { [id]: written(place) };
  }
  if (kind === 'grid') {
    const from = pointOf(b.from)!;
    const end = pointOf(b.to)!;
    switch (id) {
      case 'from':
        return { from: written(to) };
      case 'to':
        return { to: written(to) };
      case 'across':
        return { from: [pick(b.from, 0), mm(to[1])], to: [mm(to[0]), mm(end[1])] };
    }
    return { from: [mm(to[0]), mm(from[1])], to: [pick(b.to, 0), mm(to[1])] };
  }
  const c = circle(b);
  if (!c) return null;
  const angle = tidy(angleTo(c.centre, to));
  const near = (a: number, than: number) => a + 360 * Math.round((than - a) / 360); // the same way, by the shortest turn
  switch (id) {
    case 'centre':
      return { centre: written(to) };
    case 'radius':
      return distance(c.centre, to) < 0.05 ? null : { radius: long(distance(c.centre, to)) };
    case 'first':
      return kind === 'ring' ? { start: `${angle} deg` } : fits(near(angle, degrees(b.from) ?? 0), degrees(b.to) ?? 0, 'from');
    case 'last':
      return fits(near(angle, degrees(b.to) ?? 0), degrees(b.from) ?? 0, 'to');
  }
  return null;
}

// fits holds an arc to less than a full circle.
const fits = (angle: number, other: number, key: string): Mapping | null => (Math.abs(angle - other) >= 1 && Math.abs(angle - other) < 360 && Math.abs(angle) <= 720 ? { [key]: `${angle} deg` } : null);

const pick = (v: Value | undefined, i: number): Value => at(v, [String(i)]) ?? '0';
