// The scene: where every lamp stands in the picture. Millimetres in, screen dots out; no drawing here.
//
// Each end of the car is a view of its own, both at one scale, as the lamps stand on the car; only what is empty between lamps that
// stand far apart is shortened, and marked with its true width. The rear is seen from behind, so LH is left; the front is seen from the
// front, so LH is right.

import type { Lamp, Point } from '../engine/types';

export interface Box {
  x0: number;
  y0: number;
  x1: number;
  y1: number;
}

export interface Placed {
  lamp: Lamp;
  index: number; // in the list that was given
  view: View;
  dx: number; // mm to add to the lamp's own x for the x of the view
  dy: number;
  box: Box; // mm of the view, y up
  pitch: number; // mm between neighbouring LEDs, as a rule
}

export interface View {
  end: 'rear' | 'front';
  lamps: Placed[];
  box: Box; // mm
  breaks: Break[];
  left: number; // dots, upper left corner of the box on the sheet
  top: number;
}

// Break is where empty space between lamps is shortened.
export interface Break {
  x: number; // its middle, mm of the view
  y: number;
  mm: number; // how wide it is on the car
}

export interface Sheet {
  width: number; // dots
  height: number;
  letter: number; // size of letters, 1 is normal
}

export interface Scene {
  scale: number; // dots a millimetre
  letter: number;
  small: boolean; // there is little room: titles are short
  named: boolean; // lamps have their names below them, which needs room too
  views: View[];
  lamps: Placed[]; // in the order given; a lamp without LEDs and outline is left out
  written: Area[]; // what letters take up, once they are drawn: handles keep clear of it
}

// Area is a part of the sheet, in dots.
export interface Area {
  x: number; // middle
  y: number;
  w: number;
  h: number;
}

// Room in dots, at letters of normal size.
export const titleRoom = 34; // above a view, for its name and the plan
export const titleWidth = 270;
export const nameRoom = 20; // below a lamp, for its name
const gap = 22; // between views and at the edges

// Room in a small picture.
export const smallTitleRoom = 22;
export const smallTitleWidth = 130;
const smallGap = 8;

// arrange lays lamps out; of two views it takes the one beside or above the other, whichever shows them larger.
export function arrange(lamps: Lamp[], sheet: Sheet): Scene {
  const views: View[] = [];
  const placed: Placed[] = [];
  for (const end of ['rear', 'front'] as const) {
    const view: View = { end, lamps: [], box: nothing(), breaks: [], left: 0, top: 0 };
    lamps.forEach((lamp, index) => {
      if (lamp.place.end !== end) return;
      const pitch = pitchOf(lamp);
      const own = boxOf([...lamp.outline, ...lamp.leds.map((l): Point => [l[0], l[1]])]);
      if (lamp.outline.length === 0) grow(own, pitch / 2); // LEDs alone are no points: what is written keeps clear of them
      const face = lamp.outline.length > 0 ? boxOf(lamp.outline) : own;
      if (face.x1 < face.x0) return;
      const x = end === 'front' ? -lamp.place.x : lamp.place.x; // seen from the front, the driver's right is on the left
      const dx = x - (face.x0 + face.x1) / 2;
      const dy = lamp.place.y - (face.y0 + face.y1) / 2;
      const box = { x0: own.x0 + dx, y0: own.y0 + dy, x1: own.x1 + dx, y1: own.y1 + dy };
      view.lamps.push({ lamp, index, view, dx, dy, box, pitch });
    });
    closeUp(view);
    for (const p of view.lamps) view.box = join(view.box, p.box);
    if (view.lamps.length > 0) views.push(view);
    placed.push(...view.lamps);
  }
  placed.sort((a, b) => a.index - b.index);
  const scene: Scene = { scale: 1, letter: sheet.letter, small: false, named: true, views, lamps: placed, written: [] };
  if (views.length > 0) fit(scene, sheet);
  return scene;
}

// closeUp shortens what is empty between neighbours to the width of the widest lamp, so that small lamps at both sides of a car are seen
// large.
function closeUp(view: View) {
  const most = Math.max(...view.lamps.map((p) => p.box.x1 - p.box.x0), 40);
  const row = [...view.lamps].sort((a, b) => a.box.x0 - b.box.x0);
  let end = row[0]?.box.x1 ?? 0; // of what was laid so far, mm of the car
  let cut = 0;
  for (const p of row) {
    const empty = p.box.x0 - end;
    if (empty > most) {
      view.breaks.push({ x: end - cut + most / 2, y: (p.box.y0 + p.box.y1) / 2, mm: empty });
      cut += empty - most;
    }
    end = Math.max(end, p.box.x1);
    p.dx -= cut;
    p.box = { ...p.box, x0: p.box.x0 - cut, x1: p.box.x1 - cut };
  }
}

interface Room {
  title: number; // dots
  width: number;
  name: number;
  gap: number;
}

// fit lays views out with their whole titles, or with short ones, or without names as well, where that shows the lamps much larger.
function fit(scene: Scene, sheet: Sheet) {
  const { letter } = sheet;
  const whole = laid(scene, sheet, { title: titleRoom * letter, width: titleWidth * letter, name: nameRoom * letter, gap });
  const short = laid(scene, sheet, { title: smallTitleRoom * letter, width: smallTitleWidth * letter, name: nameRoom * letter, gap: smallGap });
  const bare = laid(scene, sheet, { title: smallTitleRoom * letter, width: smallTitleWidth * letter, name: 0, gap: smallGap });
  scene.small = Math.max(short.scale, bare.scale / 2) > 1.7 * whole.scale;
  scene.named = !scene.small || bare.scale <= 2 * short.scale;
  (!scene.small ? whole : scene.named ? short : bare).take();
}

function laid(scene: Scene, sheet: Sheet, { title, width, name, gap }: Room) {
  const w = scene.views.map((v) => Math.max(1, v.box.x1 - v.box.x0));
  const h = scene.views.map((v) => Math.max(1, v.box.y1 - v.box.y0));
  const sum = (n: number[]) => n.reduce((a, b) => a + b, 0);
  const n = scene.views.length;
  const fixed = title + name; // a view is at least as wide as its title
  const above = Math.min((sheet.width - 2 * gap) / Math.max(...w), (sheet.height - gap - n * (fixed + gap)) / sum(h));
  const room = sheet.width - (n + 1) * gap;
  const beside = room < n * width ? 0 : Math.min(room / sum(w), (sheet.height - 2 * gap - fixed) / Math.max(...h));
  const scale = Math.max(above, beside, 0.02);
  const take = () => {
    scene.scale = scale;
    if (above >= beside) {
      const used = sum(h) * scale + n * fixed + (n - 1) * gap;
      let y = Math.max(gap / 2, (sheet.height - used) / 2);
      scene.views.forEach((v, i) => {
        v.left = (sheet.width - w[i]! * scale) / 2;
        v.top = y + title;
        y += h[i]! * scale + fixed + gap;
      });
    } else {
      const wide = w.map((mm) => Math.max(mm * scale, width));
      let x = (sheet.width - sum(wide) - (n - 1) * gap) / 2;
      scene.views.forEach((v, i) => {
        v.left = x + (wide[i]! - w[i]! * scale) / 2;
        v.top = (sheet.height - h[i]! * scale - fixed) / 2 + title;
        x += wide[i]! + gap;
      });
    }
  };
  return { scale, take };
}

const nothing = (): Box => ({ x0: Infinity, y0: Infinity, x1: -Infinity, y1: -Infinity });

const join = (a: Box, b: Box): Box => ({ x0: Math.min(a.x0, b.x0), y0: Math.min(a.y0, b.y0), x1: Math.max(a.x1, b.x1), y1: Math.max(a.y1, b.y1) });

function grow(b: Box, by: number) {
  b.x0 -= by;
  b.y0 -= by;
  b.x1 += by;
  b.y1 += by;
}

export function boxOf(points: Point[]): Box {
  const box = nothing();
  for (const [x, y] of points) {
    box.x0 = Math.min(box.x0, x);
    box.y0 = Math.min(box.y0, y);
    box.x1 = Math.max(box.x1, x);
    box.y1 = Math.max(box.y1, y);
  }
  return box;
}

// pitchOf is the middle one of the distances from an LED to its nearest neighbour.
export function pitchOf(lamp: Lamp): number {
  const leds = lamp.leds;
  if (leds.length < 2) return 20;
  const step = Math.max(1, Math.floor(leds.length / 60)); // a sample is enough
  const near: number[] = [];
  for (let i = 0; i < leds.length; i += step) {
    let least = Infinity;
    for (let k = 0; k < leds.length; k++) {
      if (k === i) continue;
      const d = Math.hypot(leds[i]![0] - leds[k]![0], leds[i]![1] - leds[k]![1]);
      if (d > 0.01) least = Math.min(least, d);
    }
    if (least < Infinity) near.push(least);
  }
  near.sort((a, b) => a - b);
  return near[Math.floor(near.length / 2)] ?? 20;
}
