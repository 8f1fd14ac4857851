// The drawing of a lamp: its patterns as they are written, and which LED comes from which of them.

import { at, entry, isMapping, type Mapping, type Path } from '../../engine/tree';
import type { Lamp, Point, Value } from '../../engine/types';
import { millimetres } from '../../engine/units';
import { pitchOf } from '../../picture/scene';

export type Kind = 'led' | 'row' | 'column' | 'grid' | 'ring' | 'arc' | 'line' | 'list';

export interface Pattern {
  index: number; // in the list
  kind: Kind;
  name: string;
  group: string;
  part: string;
  body: Mapping;
  leds: number[]; // of the lamp, in the pattern's order
}

export interface Drawing {
  lamp: Lamp; // as it was understood last
  on: string; // the lamp that is drawn: this one, or the one that it is a hand of
  hand: boolean;
  current: boolean; // the lamp is as the document has it now
  patterns: Pattern[]; // none of a hand: they are drawn elsewhere
  paths: { name: string; points: Point[] }[]; // light paths that are drawn; patterns make some of their own as well
  of: (Pattern | undefined)[]; // of each LED
  pitch: number; // mm between neighbouring LEDs, as a rule
}

// drawingOf reads a lamp of the tree, with what the server made of it. Without that the drawing is empty but for its name.
export function drawingOf(tree: Value | null, name: string, seen: Lamp | undefined, current: boolean): Drawing | null {
  const body = at(tree, ['lamps', name]);
  const lamp = seen ?? (isMapping(body) ? unseen(name, body) : null);
  if (!lamp) return null;
  const on = isMapping(body) && typeof body['opposite-hand-of'] === 'string' ? body['opposite-hand-of'] : name;
  const hand = on !== name;
  const patterns = hand ? [] : patternsOf(at(body, ['leds']));
  const of: (Pattern | undefined)[] = new Array(lamp.leds.length);
  const blocks = new Map<string, Pattern[]>(); // single LEDs of one group stand together
  for (const p of patterns) {
    const block = blockOf(p);
    blocks.set(block, [...(blocks.get(block) ?? []), p]);
  }
  const counted = new Map<string, number>();
  lamp.leds.forEach(([, , g], i) => {
    const block = splitGroup(lamp.groups[g]?.name ?? '')[0];
    const list = blocks.get(block);
    if (!list) return;
    const n = counted.get(block) ?? 0;
    counted.set(block, n + 1);
    const p = list[0]!.kind === 'led' ? list[n] : list[0];
    if (!p) return;
    p.leds.push(i);
    of[i] = p;
  });
  const drawn = at(tree, ['lamps', on, 'paths']);
  const paths = lamp.paths.filter((p) => isMapping(drawn) && Object.hasOwn(drawn, p.name));
  return { lamp, on, hand, current, patterns, paths, of, pitch: pitchOf(lamp) };
}

// unseen is a lamp of which the server could make nothing yet: its place and its outline, as far as they can be read.
function unseen(name: string, body: Mapping): Lamp {
  const place = isMapping(body.place) ? body.place : {};
  const point = pointOf(place.at);
  return {
    name,
    kind: typeof body.kind === 'string' ? body.kind : '',
    oppositeOf: '',
    place: { end: place.end === 'front' ? 'front' : 'rear', side: place.side === 'LH' || place.side === 'RH' ? place.side : 'centre', x: point?.[0] ?? 0, y: point?.[1] ?? 0 },
    outline: pointsOf(body.outline),
    leds: [],
    groups: [],
    zones: [],
    paths: [],
    functions: [],
  };
}

function patternsOf(leds: Value | undefined): Pattern[] {
  if (!Array.isArray(leds)) return [];
  return leds.flatMap((v, index): Pattern[] => {
    const one = entry(v);
    if (!one || !isMapping(one[1])) return [];
    const text = (key: string) => (typeof (one[1] as Mapping)[key] === 'string' ? ((one[1] as Mapping)[key] as string) : '');
    return [{ index, kind: one[0] as Kind, name: text('name'), group: text('group'), part: text('part'), body: one[1], leds: [] }];
  });
}

// blockOf is the name under which the LEDs of a pattern are found.
export const blockOf = (p: Pattern) => (p.kind === 'led' && p.group ? p.group : p.name);

// splitGroup takes a group's name, such as arrow.3, apart.
export function splitGroup(name: string): [string, number] {
  const dot = name.lastIndexOf('.');
  return dot > 0 ? [name.slice(0, dot), Number(name.slice(dot + 1))] : [name, 1];
}

// pointOf reads a point as it is written; null when it cannot be read.
export function pointOf(v: Value | undefined): Point | null {
  if (!Array.isArray(v) || v.length !== 2) return null;
  const x = typeof v[0] === 'string' ? millimetres(v[0]) : null;
  const y = typeof v[1] === 'string' ? millimetres(v[1]) : null;
  return x === null || y === null ? null : [x, y];
}

export const pointsOf = (v: Value | undefined): Point[] => (Array.isArray(v) ? v.map(pointOf).filter((p): p is Point => p !== null) : []);

// degrees reads an angle as it is written.
export function degrees(v: Value | undefined): number | null {
  const m = typeof v === 'string' ? /^\s*(-?\d+(?:\.\d+)?)\s*(deg|°)?\s*$/.exec(v) : null;
  return m ? Number(m[1]) : null;
}

// Item is something of a drawing that can be chosen: leds.3, outline, paths.hook.
export type Item = string;

export const pathOf = (d: Drawing, item: Item): Path => ['lamps', d.on, ...item.split('.')];

export const patternOf = (d: Drawing, item: Item): Pattern | undefined => (item.startsWith('leds.') ? d.patterns.find((p) => `leds.${p.index}` === item) : undefined);

export const itemOf = (p: Pattern): Item => `leds.${p.index}`;

// alive tells whether an item is still there.
export function alive(d: Drawing, item: Item): boolean {
  if (item === 'outline') return d.lamp.outline.length > 0;
  return item.startsWith('paths.') ? d.paths.some((p) => `paths.${p.name}` === item) : patternOf(d, item) !== undefined;
}

// linesOf gives the points of an outline or light path as they are written, for those that have some.
export function lineOf(tree: Value | null, d: Drawing, item: Item): { path: Path; points: Value[]; closed: boolean } | null {
  const base = pathOf(d, item);
  const path = item === 'outline' ? base : item.startsWith('paths.') ? [...base, 'through'] : [...base, 'line', 'through'];
  const points = at(tree, path);
  if (!Array.isArray(points)) return null;
  return { path, points, closed: item === 'outline' || at(tree, [...path.slice(0, -1), 'closed']) === 'true' };
}

// chosenLEDs are the names of the chosen single LEDs; null when something else is chosen too.
export function chosenLEDs(d: Drawing, items: readonly Item[]): string[] | null {
  const all = items.map((i) => patternOf(d, i));
  return all.length > 0 && all.every((p) => p?.kind === 'led') ? all.map((p) => p!.name) : null;
}
