// What can be done to a drawing, each as one step of the document. Each gives null when done, else why not.

import type { Mapping } from '../../engine/tree';
import { at } from '../../engine/tree';
import type { Diagnostic, Point, Value } from '../../engine/types';
import { job, store } from '../../ui/state';
import { asText } from './cliptext';
import { pathOf, patternOf, type Drawing, type Item } from './drawing';
import type { Change } from './handles';
import { apart, mm, written, type Drawn } from './shapes';
import { choose, chosen, corner, drawing, letGo, options, part, tool } from './state';

type Done = Promise<Diagnostic[] | null>;

const nothing: Done = Promise.resolve(null);
const round = (v: number) => Number(mm(v));

// patternCount is how many patterns the lamp has as it is written: a new one comes behind them.
function patternCount(d: Drawing): number {
  const leds = at(job.peek()?.tree, ['lamps', d.on, 'leds']);
  return Array.isArray(leds) ? leds.length : 0;
}

// added chooses what a step has put at the end of the list.
async function added(d: Drawing, done: Done): Done {
  const from = patternCount(d);
  const problems = await done;
  if (!problems) {
    const now = drawing.peek();
    if (now && now.on === d.on && (tool.peek() === 'choose' || tool.peek() === 'led')) choose(Array.from({ length: patternCount(now) - from }, (_, i) => `leds.${from + i}`));
  }
  return problems;
}

export function placePattern(kind: Drawn, body: Mapping): Done {
  const d = drawing.peek();
  if (!d || d.hand) return nothing;
  const o = options.peek();
  const pattern = { name: kind === 'line' ? 'line' : kind, ...body, group: kind === 'grid' ? o.gridGroup : o.group, part: part.peek() };
  return added(d, store.do('put', { lamp: d.on, text: asText([{ [kind]: pattern }]) }));
}

export function placeLEDs(points: readonly Point[], word = options.peek().word, quiet = false): Done {
  const d = drawing.peek();
  if (!d || d.hand || points.length === 0) return nothing;
  return added(d, store.do('leds', { lamp: d.on, word, part: part.peek(), points: points.map((p) => p.map(round)) }, quiet));
}

// placeLine makes the outline, or a light path, of points.
export async function placeLine(kind: 'outline' | 'path', given: Point[]): Done {
  const d = drawing.peek();
  const points = apart(given);
  if (!d || d.hand || points.length < (kind === 'outline' ? 3 : 2)) return nothing;
  const value = points.map(written);
  if (kind === 'outline') {
    const problems = await store.do('set', { path: ['lamps', d.on, 'outline'], value });
    if (!problems) choose(['outline']);
    return problems;
  }
  const have = at(job.peek()?.tree, ['lamps', d.on, 'paths']);
  const names = have && typeof have === 'object' ? Object.keys(have) : [];
  let n = 1;
  while (names.includes(`path-${n}`)) n++;
  const name = `path-${n}`;
  const problems = await store.do('set', names.length > 0 ? { path: ['lamps', d.on, 'paths', name], value: { through: value } } : { path: ['lamps', d.on, 'paths'], value: { [name]: { through: value } } });
  if (!problems) choose([`paths.${name}`]);
  return problems;
}

export function shift(by: Point): Done {
  const d = drawing.peek();
  const items = chosen.peek();
  if (!d || d.hand || items.length === 0 || (round(by[0]) === 0 && round(by[1]) === 0)) return nothing;
  return store.do('shift', { paths: items.map((i) => pathOf(d, i)), by: by.map(round) });
}

export function erase(): Done {
  const d = drawing.peek();
  const items = chosen.peek();
  if (!d || d.hand || items.length === 0) return nothing;
  const n = corner.peek();
  if (n !== null && items.length === 1) return eraseCorner(d, items[0]!, n);
  return store.do('erase', { paths: items.map((i) => pathOf(d, i)) });
}

// eraseCorner takes a corner out of a line; with too few left the line itself goes.
function eraseCorner(d: Drawing, item: Item, n: number): Done {
  const p = patternOf(d, item);
  const least = item === 'outline' ? 3 : 2;
  const path = [...pathOf(d, item), ...(item === 'outline' ? [] : p ? ['line', 'through'] : ['through'])];
  const points = at(job.peek()?.tree, path);
  if (!Array.isArray(points)) return nothing;
  corner.value = null;
  if (points.length <= least) return store.do('erase', { paths: [pathOf(d, item)] });
  const left = points.filter((_, i) => i !== n);
  if (p) return store.do('pattern', { lamp: d.on, index: p.index, values: { through: left } });
  return store.do('remove', { path: [...path, String(n)] });
}

// setPattern changes values of a pattern; null takes one out.
export const setPattern = (d: Drawing, index: number, values: Record<string, Value>, quiet = true): Done => store.do('pattern', { lamp: d.on, index, values }, quiet);

// settle makes a step of what a handle was dragged to.
export async function settle(c: Change): Done {
  const d = drawing.peek();
  const p = d && patternOf(d, c.item);
  if (!d) return nothing;
  let done: Done;
  if ('values' in c) done = p ? setPattern(d, p.index, c.values, false) : nothing;
  else {
    const to = written(c.to);
    const base = pathOf(d, c.item);
    if (p) {
      const through = at(p.body, ['through']);
      const next = Array.isArray(through) ? [...through] : [];
      next.splice(c.corner, c.insert ? 0 : 1, to);
      done = setPattern(d, p.index, { through: next }, false);
    } else {
      const path = c.item === 'outline' ? base : [...base, 'through'];
      const name = c.item === 'outline' ? 'outline' : c.item.slice('paths.'.length);
      const list = at(job.peek()?.tree, path);
      const end = Array.isArray(list) && c.corner >= list.length;
      const edit = c.insert ? { op: 'add', path, index: end ? -1 : c.corner, value: to } : { op: 'set', path: [...path, String(c.corner)], value: to };
      done = store.do('edits', { label: c.insert ? `a corner of ${name}` : `move a corner of ${name}`, edits: [edit] });
    }
  }
  const problems = await done;
  if (!problems && 'corner' in c) corner.value = c.corner;
  letGo();
  return problems;
}

export const rename = (from: string, to: string): Done => store.do('rename', { kind: 'zone', from, to }, true);
export const join = (d: Drawing, leds: string[], group: string): Done => store.do('join', { lamp: d.on, leds, group }, true);
export const unjoin = (d: Drawing, leds: string[]): Done => store.do('unjoin', { lamp: d.on, leds });
export const zone = (d: Drawing, name: string, groups: readonly string[]): Done => store.do('zone', { lamp: d.on, name, groups }, true);
export const serve = (d: Drawing, name: string, groups: readonly string[], required: boolean): Done => store.do('serve', { lamp: d.on, function: name, groups, required }, true);

export const drawTool = (): Drawn | null => {
  const t = tool.peek();
  return t === 'row' || t === 'column' || t === 'grid' || t === 'ring' || t === 'arc' || t === 'line' ? t : null;
};
