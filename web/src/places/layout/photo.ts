// The photo under a drawing: its file, the points whose places are known, where it lies on the sheet, and the bright spots in it.

import { batch, computed, effect, signal } from '@preact/signals';
import { plain, post, send, told } from '../../engine/api';
import { apply, mapOf, type Known, type Map3 } from '../../engine/homography';
import { at, isMapping } from '../../engine/tree';
import type { Diagnostic, Point } from '../../engine/types';
import { millimetres } from '../../engine/units';
import { job, place, store } from '../../ui/state';
import { boundsOf } from './view';
import { mm } from './shapes';
import { drawing, lampName } from './state';

// Mark is a point of the picture, and where it is on the lamp as far as that is typed.
export interface Mark {
  pixel: Point;
  x: string;
  y: string;
}

interface Photo {
  file: string;
  marks: Mark[];
}

// photo is what the document says.
export const photo = computed<Photo | null>(() => {
  const d = drawing.value;
  const p = d && !d.hand ? at(job.value?.tree, ['lamps', d.on, 'photo']) : undefined;
  if (!isMapping(p) || typeof p.file !== 'string') return null;
  const known = Array.isArray(p.known) ? p.known : [];
  const marks = known.flatMap((k): Mark[] => {
    const pixel = at(k, ['pixel']);
    const to = at(k, ['at']);
    if (!Array.isArray(pixel) || !Array.isArray(to)) return [];
    return [{ pixel: [Number(pixel[0]), Number(pixel[1])], x: String(to[0] ?? ''), y: String(to[1] ?? '') }];
  });
  return { file: p.file, marks };
});

// marks are the points as they are being entered; the document gets them when two or four are whole.
export const marks = signal<Mark[]>([]);
export const marking = signal(false); // the next click in the picture marks a point
export const hidden = signal(false);
export const lit = signal<{ lamp: string; file: string } | null>(null); // another picture from the same place, with the lamp lit
export const sizes = signal<Record<string, { width: number; height: number }>>({}); // of pictures, as they were loaded

let entered = '';
effect(() => {
  if (place.value !== 'layout') return;
  const p = photo.value;
  const now = JSON.stringify([lampName.value, p]);
  if (now === entered) return;
  entered = now;
  batch(() => {
    marks.value = p?.marks ?? [];
    if (!p) marking.value = false;
  });
});

// file is the picture that is shown.
export const file = computed(() => (lit.value && lit.value.lamp === drawing.value?.on ? lit.value.file : (photo.value?.file ?? '')));

const known = (list: Mark[]): Known[] | null => {
  const out: Known[] = [];
  for (const m of list) {
    const x = millimetres(m.x);
    const y = millimetres(m.y);
    if (x === null || y === null) return null;
    out.push({ pixel: m.pixel, at: [x, y] });
  }
  return out;
};

// placed is the map from pixels to millimetres that the document's points give; null while they give none.
export const placed = computed<Map3 | null>(() => {
  const k = known(photo.value?.marks ?? []);
  return k && mapOf(k);
});

// Without known points a picture lies where it was first seen: over the lamp, as wide as it.
const loose = new Map<string, Map3>();
export const map = computed<Map3 | null>(() => {
  if (placed.value) return placed.value;
  const name = photo.value?.file;
  const size = name ? sizes.value[name] : undefined;
  const d = drawing.peek();
  if (!name || !size?.width || !d) return null;
  let m = loose.get(name);
  if (!m) {
    const box = boundsOf([...d.lamp.outline, ...d.lamp.leds.map((l): Point => [l[0], l[1]])]);
    const scale = Math.max(box.x1 - box.x0, ((box.y1 - box.y0) * size.width) / size.height, 20) / size.width;
    m = [scale, 0, (box.x0 + box.x1 - scale * size.width) / 2, 0, -scale, (box.y0 + box.y1 + scale * size.height) / 2, 0, 0, 1];
    loose.set(name, m);
  }
  return m;
});

type Done = Promise<Diagnostic[] | null>;

// keep sends a picture and gives the name under which it is kept.
async function keep(picture: Blob): Promise<{ name: string; width: number; height: number } | null> {
  const d = drawing.peek();
  if (!d) return null;
  try {
    const p = await send<{ name: string; width: number; height: number }>(`/api/photo?lamp=${encodeURIComponent(d.on)}`, picture);
    sizes.value = { ...sizes.peek(), [p.name]: { width: p.width, height: p.height } };
    return p;
  } catch (error) {
    store.tell({ problems: told(error) });
    return null;
  }
}

// bring lays a picture under the drawing.
export async function bring(picture: Blob): Done {
  const d = drawing.peek();
  const p = d && !d.hand ? await keep(picture) : null;
  if (!d || !p) return null;
  batch(() => {
    lit.value = null;
    spots.value = null;
    hidden.value = false;
    marking.value = true; // the next thing to do
  });
  return store.do('edits', { label: `photo under ${d.on}`, edits: [{ op: 'set', path: ['lamps', d.on, 'photo'], value: { file: p.name } }] });
}

// bringLit takes a second picture from the same place, in which only the lamp's light shows.
export async function bringLit(picture: Blob) {
  const d = drawing.peek();
  const first = photo.peek() && sizes.peek()[photo.peek()!.file];
  const p = d && (await keep(picture));
  if (!d || !p) return;
  if (first && (first.width !== p.width || first.height !== p.height)) {
    store.tell({ problems: [plain('this picture is of another size than the one under the drawing', 'take both from one place with one camera, and leave both as they are')] });
    return;
  }
  batch(() => {
    lit.value = { lamp: d.on, file: p.name };
    spots.value = null;
  });
}

// enter takes new marks over, and brings them into the document when they place the picture.
export async function enter(next: Mark[]): Done {
  const d = drawing.peek();
  marks.value = next;
  const k = known(next);
  if (!d || !k || (k.length !== 2 && k.length !== 4 && k.length !== 0)) return null;
  if (k.length > 0 && !mapOf(k)) return [plain('these points do not place the picture', 'take points that stand apart, no three of them in a line', 'two of them are on one spot, or their order is crossed')];
  const value = next.map((m) => ({ pixel: m.pixel.map((v) => String(Number(v.toFixed(1)))), at: [m.x, m.y] }));
  if (JSON.stringify(next) === JSON.stringify(photo.peek()?.marks)) return null;
  if (k.length === 0) return photo.peek()?.marks.length ? store.do('remove', { path: ['lamps', d.on, 'photo', 'known'] }, true) : null;
  return store.do('edits', { label: `place the photo by ${k.length} points`, edits: [{ op: 'set', path: ['lamps', d.on, 'photo', 'known'], value }] }, true);
}

// mark adds a point of the picture; it is known nowhere yet.
export function mark(pixel: Point) {
  if (marks.peek().length >= 4) return;
  marks.value = [...marks.peek(), { pixel, x: '', y: '' }];
  const n = marks.peek().length;
  marking.value = n % 2 === 1; // points come in pairs
}

// spread gives two marks their places from the distance between them: the first keeps its place or is 0, 0.
export function apart(distance: number, way: 'level' | 'upright' | 'as in the picture'): Mark[] {
  const [a, b] = marks.peek();
  const x0 = millimetres(a!.x) ?? 0;
  const y0 = millimetres(a!.y) ?? 0;
  const dx = b!.pixel[0] - a!.pixel[0];
  const dy = a!.pixel[1] - b!.pixel[1]; // up
  const size = Math.hypot(dx, dy) || 1;
  const unit: Point = way === 'level' ? [Math.sign(dx) || 1, 0] : way === 'upright' ? [0, Math.sign(dy) || 1] : [dx / size, dy / size];
  return [
    { ...a!, x: a!.x || '0', y: a!.y || '0' },
    { ...b!, x: mm(x0 + unit[0] * distance), y: mm(y0 + unit[1] * distance) },
  ];
}

// Spots are bright places of the picture, in its pixels.
export interface Spot {
  x: number;
  y: number;
  size: number;
}

export const atLeast = signal(0.6); // share of the brightest
export const spots = signal<{ file: string; list: Spot[] } | null>(null);
export const spotsChosen = signal<ReadonlySet<number>>(new Set());
export const looking = signal(false);
export const lookProblems = signal<Diagnostic[]>([]);

let asked = 0;
export async function look() {
  const name = file.peek();
  if (!name) return;
  const turn = ++asked;
  looking.value = true;
  try {
    const list = await post<Spot[]>('/api/spots', { photo: name, atLeast: atLeast.peek() });
    if (turn !== asked) return;
    batch(() => {
      spots.value = { file: name, list };
      spotsChosen.value = new Set();
      lookProblems.value = [];
    });
  } catch (error) {
    if (turn === asked) lookProblems.value = told(error);
  } finally {
    if (turn === asked) looking.value = false;
  }
}

// spotPoints are the spots on the lamp, mm, with their diameters; those on which an LED stands already are marked.
export const spotPoints = computed<{ at: Point; size: number; taken: boolean }[]>(() => {
  const s = spots.value;
  const m = map.value;
  const d = drawing.value;
  if (!s || !m || !d || s.file !== file.value) return [];
  return s.list.map((spot) => {
    const p = apply(m, [spot.x, spot.y]);
    const edge = apply(m, [spot.x + spot.size / 2, spot.y]);
    const size = 2 * Math.hypot(edge[0] - p[0], edge[1] - p[1]);
    const reach = Math.max(0.5, size / 2);
    return { at: p, size, taken: d.lamp.leds.some((l) => Math.abs(l[0] - p[0]) < reach && Math.abs(l[1] - p[1]) < reach) };
  });
});
