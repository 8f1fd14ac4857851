// Fields: where the light of lamps falls on the canvas, worked out once, so that a frame only stamps what has changed.

import { spots, type Spots } from './ink';
import type { Picture } from './picture';
import type { Placed } from './scene';

interface Rect {
  x: number; // dots of the device
  y: number;
  w: number;
  h: number;
}

interface Run {
  group: Uint16Array; // place in the levels
  px: Int32Array; // upper left corner of each spot
  py: Int32Array;
  spots: Spots;
}

// Field is one or several lamps whose light meets; it is drawn as a whole or not at all.
export interface Field {
  rects: Rect[];
  runs: Run[];
  groups: Uint16Array; // places in the levels that it shows
  shown: Uint8Array; // their levels when it was drawn last
}

const mostRadius = 60; // dots of the device; a larger spot tells no more

export function aim(picture: Picture, first: Map<string, number>, dots: number, width: number, height: number): Field[] {
  const fields: Field[] = [];
  for (const p of picture.scene.lamps) {
    const from = first.get(p.lamp.name);
    if (from === undefined) continue;
    const own = fieldOf(picture, p, from, dots, width, height);
    if (!own) continue;
    // Whatever it meets becomes one with it.
    for (let i = fields.length - 1; i >= 0; i--) {
      if (!fields[i]!.rects.some((r) => own.rects.some((o) => meet(r, o)))) continue;
      const [other] = fields.splice(i, 1);
      own.rects.unshift(...other!.rects);
      own.runs.unshift(...other!.runs);
      own.groups = Uint16Array.from([...other!.groups, ...own.groups]);
    }
    own.shown = new Uint8Array(own.groups.length);
    fields.push(own);
  }
  return fields;
}

const meet = (a: Rect, b: Rect) => a.x < b.x + b.w && b.x < a.x + a.w && a.y < b.y + b.h && b.y < a.y + a.h;

function fieldOf(picture: Picture, p: Placed, from: number, dots: number, width: number, height: number): Field | null {
  const radius = Math.min(mostRadius, Math.max(1.1, p.pitch * picture.scene.scale * 0.44) * dots);
  const byColour = new Map<string, number[]>();
  p.lamp.leds.forEach(([, , g], i) => {
    const colour = p.lamp.groups[g]?.colour ?? '';
    const list = byColour.get(colour);
    if (list) list.push(i);
    else byColour.set(colour, [i]);
  });
  const runs: Run[] = [];
  let x0 = Infinity;
  let y0 = Infinity;
  let x1 = -Infinity;
  let y1 = -Infinity;
  for (const [colour, list] of byColour) {
    const s = spots(colour, radius);
    const group: number[] = [];
    const px: number[] = [];
    const py: number[] = [];
    for (const i of list) {
      const [lx, ly, g] = p.lamp.leds[i]!;
      const [sx, sy] = picture.screen(p, lx, ly);
      const cx = Math.round(sx * dots - s.size / 2);
      const cy = Math.round(sy * dots - s.size / 2);
      if (cx + s.size < 0 || cy + s.size < 0 || cx > width || cy > height) continue;
      group.push(from + g);
      px.push(cx);
      py.push(cy);
      x0 = Math.min(x0, cx);
      y0 = Math.min(y0, cy);
      x1 = Math.max(x1, cx + s.size);
      y1 = Math.max(y1, cy + s.size);
    }
    if (group.length > 0) runs.push({ group: Uint16Array.from(group), px: Int32Array.from(px), py: Int32Array.from(py), spots: s });
  }
  if (runs.length === 0) return null;
  const rect = { x: Math.max(0, x0), y: Math.max(0, y0), w: 0, h: 0 };
  rect.w = Math.min(width, x1) - rect.x;
  rect.h = Math.min(height, y1) - rect.y;
  const groups = Uint16Array.from(p.lamp.groups, (_, g) => from + g);
  return { rects: [rect], runs, groups, shown: new Uint8Array(groups.length) };
}

// stamp draws the fields whose levels have changed, or all of them on a canvas that has just been cleared.
export function stamp(ctx: CanvasRenderingContext2D, base: HTMLCanvasElement, fields: Field[], levels: Uint8Array | null, step: Uint8Array, cleared: boolean) {
  for (const f of fields) {
    let changed = cleared;
    for (let i = 0; i < f.groups.length; i++) {
      const level = levels?.[f.groups[i]!] ?? 0;
      if (level === f.shown[i]) continue;
      f.shown[i] = level;
      changed = true;
    }
    if (!changed) continue;
    if (!cleared) {
      ctx.globalCompositeOperation = 'source-over'; // the base is opaque
      for (const r of f.rects) ctx.drawImage(base, r.x, r.y, r.w, r.h, r.x, r.y, r.w, r.h);
    }
    if (!levels) continue;
    ctx.globalCompositeOperation = 'lighter';
    for (const run of f.runs) {
      const { size, sheet } = run.spots;
      for (let i = 0; i < run.group.length; i++) {
        const s = step[levels[run.group[i]!] ?? 0]!;
        if (s > 0) ctx.drawImage(sheet, s * size, 0, size, size, run.px[i]!, run.py[i]!, size, size);
      }
    }
  }
}
