// What this window holds of the place: which lamp is drawn, the tool, what is chosen, and what is being dragged.

import { batch, computed, effect, signal } from '@preact/signals';
import { read, write } from '../../engine/settings';
import { isMapping } from '../../engine/tree';
import type { Lamp, Point } from '../../engine/types';
import { parts } from '../../ui/catalogue';
import { job, path, place } from '../../ui/state';
import { alive, drawingOf, pathOf, type Drawing, type Item } from './drawing';
import type { Change, Handle } from './handles';
import type { Size, Tool } from './shapes';
import type { Snap } from './snap';
import { grids } from './view';

const picked = signal(''); // lamp, as somebody picked it

// lampNames lists the lamps of the document, also those that cannot be understood.
export const lampNames = computed<string[]>(() => {
  const tree = job.value?.tree;
  const lamps = isMapping(tree) ? tree.lamps : undefined;
  const written = isMapping(lamps) ? Object.keys(lamps).filter((k) => k !== 'note') : [];
  return written.length > 0 ? written : (job.value?.lamps.map((l) => l.name) ?? []);
});
export const lampName = computed(() => (lampNames.value.includes(picked.value) ? picked.value : (lampNames.value[0] ?? '')));

// Lamps as they were understood last: one that is broken now is shown as it was.
let seenIn = '';
const seen = new Map<string, Lamp>();

export const drawing = computed<Drawing | null>(() => {
  const j = job.value;
  if (!j) return null;
  if (seenIn !== j.path) seen.clear();
  seenIn = j.path;
  for (const l of j.lamps) seen.set(l.name, l);
  const name = lampName.value;
  return drawingOf(j.tree, name, seen.get(name), j.lamps.some((l) => l.name === name));
});

// handOf gives the lamp of the other side of a pair, or "".
export const handOf = computed(() => {
  const d = drawing.value;
  if (!d) return '';
  if (d.hand) return d.on;
  return job.value?.lamps.find((l) => l.oppositeOf === d.lamp.name)?.name ?? '';
});

export const tool = signal<Tool>('choose');
export const chosen = signal<readonly Item[]>([]);
export const chosenGroups = signal<readonly string[]>([]); // names
export type Tab = 'draw' | 'groups' | 'photo';
export const tab = signal<Tab>('draw');
export const form = signal<'lamp' | 'hand' | null>(null); // what the panel asks for instead
export const corner = signal<number | null>(null); // of the chosen line, the one that was touched last

// What a drag shows until it is let go.
export const points = signal<readonly Point[]>([]); // of the tool
export const hover = signal<Snap | null>(null); // where the pointer is, snapped
export const raw = signal<Point | null>(null); // where it is
export const moving = signal<Point | null>(null); // by which the chosen are moved, mm
export const change = signal<Change | null>(null); // by a handle
export const held = signal<Handle | null>(null);
export const frame = signal<{ a: Point; b: Point } | null>(null); // the rectangle, mm

export function letGo() {
  batch(() => {
    points.value = [];
    moving.value = change.value = held.value = frame.value = null;
  });
}

export function showLamp(name: string) {
  batch(() => {
    picked.value = name;
    path.value = ['lamps', name];
    chosen.value = chosenGroups.value = [];
    form.value = corner.value = null;
    letGo();
  });
}

export function choose(items: readonly Item[]) {
  batch(() => {
    chosen.value = items;
    corner.value = null;
    const d = drawing.peek();
    if (d && items.length === 1) path.value = pathOf(d, items[0]!); // the inspector shows the same, when it is open
  });
}

export function take(t: Tool) {
  batch(() => {
    tool.value = t;
    tab.value = 'draw';
    form.value = null;
    letGo();
    if (t !== 'choose') choose([]);
  });
}

export function openTab(t: Tab) {
  batch(() => {
    tab.value = t;
    tool.value = 'choose';
    form.value = null;
    letGo();
  });
}

// What is gone from the document is chosen no longer; a drag for another revision is none.
effect(() => {
  if (place.value !== 'layout') return; // elsewhere the drawing is not worked out with every edit
  const d = drawing.value;
  const revision = job.value?.revision;
  void revision;
  batch(() => {
    moving.value = change.value = held.value = null;
    if (!d) return;
    const left = chosen.peek().filter((i) => alive(d, i));
    if (d.current && left.length < chosen.peek().length) chosen.value = left;
    const groups = chosenGroups.peek().filter((g) => d.lamp.groups.some((x) => x.name === g));
    if (groups.length < chosenGroups.peek().length) chosenGroups.value = groups;
  });
});

// Options are how this person draws; they live in this browser.
export interface Options extends Size {
  part: string;
  group: string; // of rows, columns, rings, arcs, lines
  gridGroup: string;
  word: string; // that names single LEDs
  grid: number; // of the grids
  snapLEDs: boolean;
  snapSpots: boolean;
  showGroups: boolean;
  opacity: number; // of the photo, 0..1
}

const where = 'lampwright.layout';
const standard: Options = {
  by: 'count', count: 8, spacing: 10, columns: 8, rows: 3, part: '', group: 'each', gridGroup: '1 column', word: 'led', grid: 2, snapLEDs: true, snapSpots: true, showGroups: true, opacity: 0.75,
};
const kept = read(where);
export const options = signal<Options>({ ...standard, ...(isMapping(kept) ? (kept as unknown as Partial<Options>) : {}) });
export const option = (o: Partial<Options>) => {
  options.value = { ...options.value, ...o };
  write(where, options.value);
};
export const grid = computed(() => grids[options.value.grid] ?? grids[2]!);

// part is the LED part that is drawn next: as somebody chose it, else as the lamp has it, else the first there is.
export const part = computed(() => {
  const wish = options.value.part;
  if (parts.value.some((p) => p.name === wish)) return wish;
  const used = drawing.value?.patterns.at(-1)?.part ?? '';
  return used || parts.value[0]?.name || 'red-622';
});
export const colourOf = (name: string) => parts.value.find((p) => p.name === name)?.colour ?? '';
