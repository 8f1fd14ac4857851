// Tags on the picture: the name of the signal or show that holds a part of a lamp, beside the lamp, with a line to that part.

import type { Picture } from '../../picture/picture';
import type { Placed } from '../../picture/scene';
import { nameRoom } from '../../picture/scene';

export interface Held {
  owners: Uint8Array; // of all groups: 0 is nobody, n the n-th of layers, 255 the safe program
  layers: string[];
  first: Map<string, number>;
}

const plain = 255;

export function ownerName(held: Held, at: number): string {
  const owner = held.owners[at] ?? 0;
  if (owner === 0) return 'nobody has it';
  if (owner === plain) return 'plain signals, while the program is checked';
  return `${held.layers[owner - 1] ?? 'somebody'} has it`;
}

interface Box {
  x0: number;
  y0: number;
  x1: number;
  y1: number;
}

interface Part {
  name: string;
  box: Box; // of its LEDs
}

const wideFrom = 2.2; // a lamp so many times wider than high has its tags below
const gap = 10; // dots from the lamp to its tags

export function drawTags(ctx: CanvasRenderingContext2D, p: Picture, held: Held) {
  const size = 12 * p.scene.letter;
  const high = size * 1.45;
  ctx.save();
  ctx.font = `600 ${size}px Barlow, "Segoe UI", system-ui, sans-serif`;
  ctx.textBaseline = 'middle';
  const lamps = p.scene.lamps.map((placed) => frame(p, placed));
  const taken: Box[] = [...lamps];
  p.scene.lamps.forEach((placed, i) => {
    const parts = partsOf(p, placed, held);
    if (parts.length === 0) return;
    const lamp = lamps[i]!;
    if (lamp.x1 - lamp.x0 > wideFrom * (lamp.y1 - lamp.y0)) below(ctx, parts, lamp, high, p.scene.letter, taken);
    else beside(ctx, parts, lamp, high, placed.box.x0 + placed.box.x1 < placed.view.box.x0 + placed.view.box.x1 ? -1 : 1, p.host.clientWidth, taken);
  });
  ctx.restore();
}

function frame(p: Picture, placed: Placed): Box {
  const [x0, y0] = p.screen(placed, placed.box.x0 - placed.dx, placed.box.y1 - placed.dy);
  const [x1, y1] = p.screen(placed, placed.box.x1 - placed.dx, placed.box.y0 - placed.dy);
  return { x0, y0, x1, y1 };
}

// partsOf gives what of a lamp is held, by holder, from the top down.
function partsOf(p: Picture, placed: Placed, held: Held): Part[] {
  const first = held.first.get(placed.lamp.name);
  if (first === undefined) return [];
  const boxes = new Map<number, Box>();
  for (const [mx, my, g] of placed.lamp.leds) {
    const owner = held.owners[first + g] ?? 0;
    if (owner === 0) continue;
    const [x, y] = p.screen(placed, mx, my);
    const b = boxes.get(owner);
    if (!b) boxes.set(owner, { x0: x, y0: y, x1: x, y1: y });
    else {
      b.x0 = Math.min(b.x0, x);
      b.x1 = Math.max(b.x1, x);
      b.y0 = Math.min(b.y0, y);
      b.y1 = Math.max(b.y1, y);
    }
  }
  return [...boxes]
    .map(([owner, box]): Part => ({ name: owner === plain ? 'plain signals' : (held.layers[owner - 1] ?? '?'), box }))
    .sort((a, b) => a.box.y0 + a.box.y1 - b.box.y0 - b.box.y1);
}

const overlap = (a: Box, b: Box) => a.x0 < b.x1 && a.x1 > b.x0 && a.y0 < b.y1 && a.y1 > b.y0;

interface Tag extends Box {
  part: Part;
  at: number; // height of the part
  y: number;
}

// column stacks the tags of a lamp on one side, -1 is left.
function column(ctx: CanvasRenderingContext2D, parts: Part[], lamp: Box, high: number, side: number): Tag[] {
  let last = -Infinity;
  return parts.map((part) => {
    const at = (part.box.y0 + part.box.y1) / 2;
    const y = (last = Math.max(at, last + high));
    const wide = ctx.measureText(part.name).width;
    const x0 = side < 0 ? lamp.x0 - gap - wide : lamp.x1 + gap;
    return { part, at, y, x0, x1: x0 + wide, y0: y - high / 2, y1: y + high / 2 };
  });
}

// beside draws the tags on the side where they fit: outwards if they can, else inwards.
function beside(ctx: CanvasRenderingContext2D, parts: Part[], lamp: Box, high: number, outwards: number, width: number, taken: Box[]) {
  const fits = (tags: Tag[]) => tags.every((t) => t.x0 > 2 && t.x1 < width - 2 && !taken.some((o) => o !== lamp && overlap(o, t)));
  const side = [outwards, -outwards].find((s) => fits(column(ctx, parts, lamp, high, s))) ?? -outwards;
  ctx.textAlign = 'left';
  for (const t of column(ctx, parts, lamp, high, side)) {
    const near = side < 0 ? t.part.box.x0 : t.part.box.x1;
    const edge = side < 0 ? lamp.x0 : lamp.x1;
    ctx.beginPath();
    ctx.moveTo(near + side * 4, t.at);
    ctx.lineTo(edge + side * 2, t.at);
    ctx.lineTo((side < 0 ? t.x1 : t.x0) - side * 3, t.y);
    line(ctx);
    word(ctx, t.part.name, t.x0, t.y);
    taken.push(t);
  }
}

function below(ctx: CanvasRenderingContext2D, parts: Part[], lamp: Box, high: number, letter: number, taken: Box[]) {
  ctx.textAlign = 'center';
  const text = parts.map((q) => q.name).join(' · ');
  const wide = ctx.measureText(text).width;
  const x = (lamp.x0 + lamp.x1) / 2;
  let y = lamp.y1 + (nameRoom + 8) * letter;
  const spot = () => ({ x0: x - wide / 2, x1: x + wide / 2, y0: y - high / 2, y1: y + high / 2 });
  for (let tries = 0; tries < 4 && taken.some((t) => overlap(t, spot())); tries++) y += high;
  word(ctx, text, x, y);
  taken.push(spot());
}

function line(ctx: CanvasRenderingContext2D) {
  ctx.lineWidth = 3;
  ctx.strokeStyle = '#0d0f11';
  ctx.stroke();
  ctx.lineWidth = 1;
  ctx.strokeStyle = '#b6bec3';
  ctx.stroke();
}

function word(ctx: CanvasRenderingContext2D, text: string, x: number, y: number) {
  ctx.lineJoin = 'round';
  ctx.lineWidth = 4;
  ctx.strokeStyle = '#0d0f11';
  ctx.strokeText(text, x, y);
  ctx.fillStyle = '#f2f4f4';
  ctx.fillText(text, x, y);
}
