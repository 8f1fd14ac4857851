// Labels on the lamp: a number on every group where there is room, the patterns' names beside them, and callouts for what is pointed at.

import type { Picture } from '../../picture/picture';
import type { Lamp } from '../../engine/types';
import { greys } from '../../picture/base';
import { nameRoom, titleRoom, titleWidth } from '../../picture/scene';
import { runs, short } from './map';

export interface Tag {
  text: string; // "" draws none
  hollow: boolean; // a broken line around it: it hangs nowhere, or is only expected
}

export interface Callout {
  group: number;
  text: string;
}

interface Box {
  x: number; // middle
  y: number;
  w: number;
  h: number;
}

export interface Label extends Box {
  group: number;
  size: number; // of its letters, dots
  ax: number; // what it belongs to
  ay: number;
  away: boolean; // beside its group, with a line to it
}

const letters = "Barlow, 'Segoe UI', system-ui, sans-serif";
const least = 11; // dots, of a number at letters of normal size
const largest = 17;

const apart = (a: Box, b: Box, by = 2) => Math.abs(a.x - b.x) * 2 >= a.w + b.w + 2 * by || Math.abs(a.y - b.y) * 2 >= a.h + b.h + 2 * by;

// layOut finds a place for each tag on the lamp, in dots of the page: each pattern in letters as large as fit, so that every tag lies on its
// own group. Where there is no room a tag stands beside its group, or is left out.
export function layOut(ctx: CanvasRenderingContext2D, picture: Picture, lamp: string, tags: Tag[]): Label[] {
  const placed = picture.placed(lamp);
  if (!placed) return [];
  const points: [number, number][][] = tags.map(() => []);
  for (const [x, y, g] of placed.lamp.leds) points[g]?.push(picture.screen(placed, x, y));
  const pitch = placed.pitch * picture.scene.scale;
  const patterns = [...patternsOf(placed.lamp).values()].map((groups) => ({
    size: largest,
    // A tag that is empty now may be filled soon, and the letters stay as they are.
    spots: groups.flatMap((group) => {
      const middle = anchor(points[group]!, pitch);
      return middle ? [{ group, text: tags[group]!.text || '00', middle, leds: points[group]! }] : [];
    }),
  }));
  for (;;) {
    const all: Label[] = [];
    let tight: (typeof patterns)[0] | undefined; // the first pattern that does not fit
    for (const p of patterns) {
      const labels = place(ctx, p.spots, all, p.size * picture.scene.letter);
      if (labels.length < p.spots.length || labels.some((l) => l.away)) tight ??= p;
      all.push(...labels);
    }
    const smaller = tight && tight.size === least ? patterns.reduce((a, b) => (b.size > a.size ? b : a)) : tight;
    if (!smaller || smaller.size === least) return all.filter((l) => tags[l.group]!.text !== '');
    smaller.size--;
  }
}

interface Spot {
  group: number;
  text: string;
  middle: [number, number];
  leds: [number, number][];
}

function place(ctx: CanvasRenderingContext2D, spots: Spot[], taken: Label[], size: number): Label[] {
  ctx.font = `600 ${size}px ${letters}`;
  const labels: Label[] = [];
  for (const { group, text, middle, leds } of spots) {
    const box = { w: Math.max(ctx.measureText(text).width + size * 0.6, size * 1.5), h: size * 1.35 };
    const some = leds.filter((_, i) => i % Math.max(1, Math.floor(leds.length / 6)) === 0);
    const beside = [1.15, -1.15].map((k): [number, number] => [middle[0], middle[1] + k * box.h]);
    for (const [i, [x, y]] of [middle, ...some, ...beside].entries()) {
      const label = { group, size, x, y, ...box, ax: middle[0], ay: middle[1], away: i > some.length };
      if (!taken.every((l) => apart(l, label)) || !labels.every((l) => apart(l, label))) continue;
      labels.push(label);
      break;
    }
  }
  return labels;
}

// patternsOf gives the groups of each pattern; a pattern of one group is that group.
export function patternsOf(lamp: Lamp): Map<string, number[]> {
  const all = new Map<string, number[]>();
  lamp.groups.forEach((g, i) => {
    const name = short(g.name).pattern || g.name;
    all.set(name, [...(all.get(name) ?? []), i]);
  });
  return all;
}

// anchor is the middle of a group's LEDs, or the LED nearest to it when the middle is far from all of them.
function anchor(points: [number, number][], pitch: number): [number, number] | null {
  if (points.length === 0) return null;
  const x = points.reduce((s, p) => s + p[0], 0) / points.length;
  const y = points.reduce((s, p) => s + p[1], 0) / points.length;
  const near = points.reduce((a, b) => (Math.hypot(b[0] - x, b[1] - y) < Math.hypot(a[0] - x, a[1] - y) ? b : a));
  return Math.hypot(near[0] - x, near[1] - y) <= pitch * 1.3 ? [x, y] : near;
}

export function draw(ctx: CanvasRenderingContext2D, picture: Picture, lamp: string, tags: Tag[], callouts: Callout[], labels: Label[]) {
  const { letter } = picture.scene;
  ctx.save();
  ctx.textAlign = 'center';
  ctx.textBaseline = 'middle';
  const called = new Set(callouts.map((c) => c.group));
  for (const l of labels) {
    if (!l.away) continue;
    ctx.strokeStyle = '#98a1a8';
    ctx.lineWidth = 1;
    ctx.beginPath();
    ctx.moveTo(l.ax, l.ay);
    ctx.lineTo(l.x, l.y);
    ctx.stroke();
  }
  for (const l of labels) if (!called.has(l.group)) pill(ctx, l, tags[l.group]!);
  captions(ctx, picture, lamp, labels);
  ctx.font = `600 ${15 * letter}px ${letters}`;
  const taken: Box[] = [];
  for (const c of callouts) callout(ctx, picture, lamp, c, labels.find((l) => l.group === c.group), taken);
  ctx.restore();
}

function pill(ctx: CanvasRenderingContext2D, b: Label, { text, hollow }: Tag) {
  ctx.font = `600 ${b.size}px ${letters}`;
  ctx.beginPath();
  ctx.roundRect(b.x - b.w / 2, b.y - b.h / 2, b.w, b.h, 3);
  ctx.fillStyle = '#0d0f11d9';
  ctx.fill();
  ctx.setLineDash(hollow ? [3, 2.5] : []);
  ctx.strokeStyle = hollow ? '#e9c069' : '#5a636b';
  ctx.lineWidth = 1;
  ctx.stroke();
  ctx.setLineDash([]);
  ctx.fillStyle = hollow ? '#e9c069' : '#fff';
  ctx.fillText(text, b.x, b.y + 0.5);
}

// callout is large and light, above its group, or below where there is no room.
function callout(ctx: CanvasRenderingContext2D, picture: Picture, lamp: string, c: Callout, label: Label | undefined, taken: Box[]) {
  const placed = picture.placed(lamp);
  if (!placed) return;
  const { letter } = picture.scene;
  const points = placed.lamp.leds.filter((l) => l[2] === c.group).map((l) => picture.screen(placed, l[0], l[1]));
  if (points.length === 0) return;
  const at: [number, number] = label ? [label.ax, label.ay] : anchor(points, Infinity)!;
  const top = Math.min(...points.map((p) => p[1]));
  const bottom = Math.max(...points.map((p) => p[1]));
  const width = ctx.canvas.clientWidth || ctx.canvas.width;
  const box: Box = { x: at[0], y: top - 26 * letter, w: ctx.measureText(c.text).width + 18 * letter, h: 26 * letter };
  box.x = Math.max(box.w / 2 + 4, Math.min(width - box.w / 2 - 4, box.x));
  if (box.y < box.h || taken.some((t) => !apart(t, box))) box.y = bottom + 26 * letter;
  taken.push(box);
  ctx.strokeStyle = '#f4f5f2';
  ctx.lineWidth = 1.5;
  ctx.beginPath();
  ctx.moveTo(at[0], box.y < at[1] ? top - 4 : bottom + 4);
  ctx.lineTo(box.x, box.y);
  ctx.stroke();
  ctx.beginPath();
  ctx.roundRect(box.x - box.w / 2, box.y - box.h / 2, box.w, box.h, 3);
  ctx.fillStyle = '#f4f5f2';
  ctx.fill();
  ctx.fillStyle = '#191d20';
  ctx.fillText(c.text, box.x, box.y + 0.5);
}

// captions name the patterns beside the lamp, where nothing else stands.
function captions(ctx: CanvasRenderingContext2D, picture: Picture, lamp: string, labels: Label[]) {
  const placed = picture.placed(lamp);
  if (!placed) return;
  const { letter, scale } = picture.scene;
  const [left, low] = picture.screen(placed, placed.box.x0 - placed.dx, placed.box.y0 - placed.dy);
  const [right, high] = picture.screen(placed, placed.box.x1 - placed.dx, placed.box.y1 - placed.dy);
  const width = ctx.canvas.clientWidth || ctx.canvas.width;
  const height = ctx.canvas.clientHeight || ctx.canvas.height;
  const leds: Box[] = placed.lamp.leds.map(([x, y]) => {
    const [sx, sy] = picture.screen(placed, x, y);
    const d = Math.min(16, placed.pitch * scale * 0.8);
    return { x: sx, y: sy, w: d, h: d };
  });
  ctx.font = `400 ${13 * letter}px ${letters}`;
  const middleOf = (left + right) / 2;
  const taken: Box[] = [
    { x: middleOf, y: low + nameRoom * 0.55 * letter, w: ctx.measureText(lamp).width, h: nameRoom * letter },
    { x: middleOf, y: high - (titleRoom / 2) * letter, w: Math.max(right - left, titleWidth * letter), h: titleRoom * letter },
  ];
  for (const [pattern, groups] of patternsOf(placed.lamp)) {
    if (groups.length < 2) continue;
    const members = groups.map((g) => short(placed.lamp.groups[g]!.name).member);
    const numbers = members.map(Number);
    const text = numbers.some(Number.isNaN) ? pattern : `${pattern} ${runs(numbers)}`;
    const own = placed.lamp.leds.filter((l) => groups.includes(l[2])).map((l) => picture.screen(placed, l[0], l[1]));
    if (own.length === 0) continue;
    const box = { x0: Math.min(...own.map((p) => p[0])), x1: Math.max(...own.map((p) => p[0])), y0: Math.min(...own.map((p) => p[1])), y1: Math.max(...own.map((p) => p[1])) };
    const w = ctx.measureText(text).width;
    const h = 16 * letter;
    const middle = (box.y0 + box.y1) / 2;
    const spots: [number, number][] = [
      [left - 12 * letter - w / 2, middle],
      [right + 12 * letter + w / 2, middle],
      [box.x0 + w / 2, box.y0 - 16 * letter],
      [box.x0 + w / 2, box.y1 + 16 * letter],
      ...[0.6, 1.5, 2.4].flatMap((line): [number, number][] => [
        [(box.x0 + box.x1) / 2, low + line * nameRoom * letter],
        [box.x0 + w / 2, low + line * nameRoom * letter],
        [box.x1 - w / 2, low + line * nameRoom * letter],
      ]),
    ];
    for (const [x, y] of spots) {
      const at = { x, y, w, h };
      if (x - w / 2 < 4 || x + w / 2 > width - 4 || y - h / 2 < 4 || y + h / 2 > height - 4) continue;
      if (![...labels, ...taken, ...leds].every((t) => apart(t, at, 3))) continue;
      taken.push(at);
      ctx.fillStyle = greys.faint;
      ctx.fillText(text, x, y);
      break;
    }
  }
}
