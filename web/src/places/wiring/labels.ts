// Labels on the lamp: a number on every group where there is room, the patterns' names beside them, and callouts for what is pointed at.

import type { Picture } from '../../picture/picture';
import { greys } from '../../picture/base';
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
  ax: number; // what it belongs to
  ay: number;
  away: boolean; // beside its group, with a line to it
}

const letters = "Barlow, 'Segoe UI', system-ui, sans-serif";
const least = 11; // dots, of a number at letters of normal size
const largest = 22;

const apart = (a: Box, b: Box, by = 2) => Math.abs(a.x - b.x) * 2 >= a.w + b.w + 2 * by || Math.abs(a.y - b.y) * 2 >= a.h + b.h + 2 * by;

// layOut finds a place for each tag on the lamp, in dots of the page. Where there is none the tag is left out.
export function layOut(ctx: CanvasRenderingContext2D, picture: Picture, lamp: string, tags: Tag[]): { labels: Label[]; size: number } {
  const placed = picture.placed(lamp);
  if (!placed) return { labels: [], size: 0 };
  const points: [number, number][][] = tags.map(() => []);
  for (const [x, y, g] of placed.lamp.leds) points[g]?.push(picture.screen(placed, x, y));
  const pitch = placed.pitch * picture.scene.scale;
  const anchors = points.map((list) => anchor(list, pitch));
  const size = sizeFor(anchors.filter((a) => a !== null), picture.scene.letter);
  ctx.font = `600 ${size}px ${letters}`;
  const labels: Label[] = [];
  anchors.forEach((a, group) => {
    const text = tags[group]!.text;
    if (!a || text === '') return;
    const box = { w: Math.max(ctx.measureText(text).width + size * 0.6, size * 1.5), h: size * 1.35 };
    const some = points[group]!.filter((_, i, all) => i % Math.max(1, Math.floor(all.length / 6)) === 0);
    const away = [1.15, -1.15, 2.3, -2.3].map((k): [number, number] => [a[0], a[1] + k * box.h]);
    for (const [x, y] of [a, ...some, ...away]) {
      const label = { group, x, y, ...box, ax: a[0], ay: a[1], away: away.some((p) => p[0] === x && p[1] === y) };
      if (labels.every((l) => apart(l, label))) {
        labels.push(label);
        return;
      }
    }
  });
  return { labels, size };
}

// anchor is the middle of a group's LEDs, or the LED nearest to it when the middle is far from all of them.
function anchor(points: [number, number][], pitch: number): [number, number] | null {
  if (points.length === 0) return null;
  const x = points.reduce((s, p) => s + p[0], 0) / points.length;
  const y = points.reduce((s, p) => s + p[1], 0) / points.length;
  const near = points.reduce((a, b) => (Math.hypot(b[0] - x, b[1] - y) < Math.hypot(a[0] - x, a[1] - y) ? b : a));
  return Math.hypot(near[0] - x, near[1] - y) <= pitch * 1.3 ? [x, y] : near;
}

// sizeFor gives letters that fit between neighbours, as a rule.
function sizeFor(anchors: [number, number][], letter: number): number {
  const near = anchors.map((a) => Math.min(...anchors.filter((b) => b !== a).map((b) => Math.hypot(a[0] - b[0], a[1] - b[1]))));
  near.sort((a, b) => a - b);
  const middle = near[Math.floor(near.length / 2)] ?? Infinity;
  return Math.max(least * letter, Math.min(largest * letter, middle * 0.6));
}

export function draw(ctx: CanvasRenderingContext2D, picture: Picture, lamp: string, tags: Tag[], callouts: Callout[], found: { labels: Label[]; size: number }) {
  const { labels, size } = found;
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
  ctx.font = `600 ${size}px ${letters}`;
  for (const l of labels) if (!called.has(l.group)) pill(ctx, l, tags[l.group]!.text, tags[l.group]!.hollow);
  captions(ctx, picture, lamp, labels);
  ctx.font = `600 ${15 * letter}px ${letters}`;
  const taken: Box[] = [];
  for (const c of callouts) callout(ctx, picture, lamp, c, labels.find((l) => l.group === c.group), taken);
  ctx.restore();
}

function pill(ctx: CanvasRenderingContext2D, b: Box, text: string, hollow: boolean) {
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
  const patterns = new Map<string, number[]>();
  placed.lamp.groups.forEach((g, i) => {
    const { pattern } = short(g.name);
    if (pattern) patterns.set(pattern, [...(patterns.get(pattern) ?? []), i]);
  });
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
  const taken: Box[] = [{ x: (left + right) / 2, y: low + 11 * letter, w: ctx.measureText(lamp).width, h: 18 * letter }];
  for (const [pattern, groups] of patterns) {
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
      [box.x0 + w / 2, high - 14 * letter],
      [box.x1 - w / 2, low + 30 * letter],
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
