// What is drawn over the sheet: what is chosen, what is being dragged, handles, bright spots and the marks of a photo.

import { apply, type Map3 } from '../../engine/homography';
import { css } from '../../picture/ink';
import type { Point } from '../../engine/types';
import type { Drawing, Item } from './drawing';
import { patternOf } from './drawing';
import type { Change, Handle } from './handles';
import type { Mark } from './photo';
import { bodyOf, inWords, needs, type Drawn, type Size, type Tool } from './shapes';
import { edged, inks, letters, radiusOf, trace, written, type Sheet } from './sheet';
import type { Snap } from './snap';
import { ledsOf, lengthOf } from './unroll';
import { screen } from './view';

export interface Over {
  drawing: Drawing;
  chosen: readonly Item[];
  groups: readonly string[] | null; // chosen groups, while groups are chosen
  handles: Handle[];
  corner: number | null;
  under: { led: number } | null;
  moving: Point | null;
  change: Change | null;
  frame: { a: Point; b: Point } | null;
  tool: Tool;
  points: readonly Point[];
  hover: Snap | null;
  size: Size;
  colour: string; // of what is drawn next
  spots: { at: Point; size: number; taken: boolean }[];
  spotsChosen: ReadonlySet<number>;
  marks: { list: readonly Mark[]; map: Map3 } | null;
}

export function drawOver(ctx: CanvasRenderingContext2D, s: Sheet, o: Over) {
  for (const g of o.hover?.guides ?? []) guide(ctx, s, g, o.hover!.to);
  spots(ctx, s, o);
  chosenThings(ctx, s, o);
  if (o.change) changed(ctx, s, o.drawing, o.change, o.colour);
  else for (const h of o.handles) handle(ctx, s, h, h.corner !== undefined && h.corner === o.corner);
  draft(ctx, s, o);
  if (o.marks) marks(ctx, s, o.marks.list, o.marks.map);
  if (o.frame) {
    const [ax, ay] = screen(s.view, o.frame.a);
    const [bx, by] = screen(s.view, o.frame.b);
    ctx.fillStyle = '#7fd0e41c';
    ctx.fillRect(ax, ay, bx - ax, by - ay);
    ctx.strokeStyle = inks.accent;
    ctx.lineWidth = 1;
    ctx.strokeRect(ax, ay, bx - ax, by - ay);
  }
}

function ring(ctx: CanvasRenderingContext2D, s: Sheet, points: readonly Point[], r: number, colour: string, width = 2) {
  ctx.beginPath();
  for (const p of points) {
    const [x, y] = screen(s.view, p);
    ctx.moveTo(x + r, y);
    ctx.arc(x, y, r, 0, 7);
  }
  edged(ctx, colour, width);
}

function chosenThings(ctx: CanvasRenderingContext2D, s: Sheet, o: Over) {
  const d = o.drawing;
  const r = radiusOf(s, d) + ringGap(s, d);
  const by = o.moving ?? [0, 0];
  const at = (i: number): Point => [d.lamp.leds[i]![0] + by[0], d.lamp.leds[i]![1] + by[1]];
  if (o.groups) {
    const want = new Set(o.groups);
    ring(ctx, s, d.lamp.leds.filter((l) => want.has(d.lamp.groups[l[2]]?.name ?? '')).map((l): Point => [l[0], l[1]]), r, '#fff');
  }
  const leds = o.chosen.flatMap((item) => patternOf(d, item)?.leds ?? []);
  if (o.moving) fill(ctx, s, d, leds.map(at), (i) => d.lamp.groups[d.lamp.leds[leds[i]!]![2]]?.colour ?? '');
  if (leds.length > 0 && !o.change) ring(ctx, s, leds.map(at), r, '#fff');
  for (const item of o.chosen) {
    const line = item === 'outline' ? d.lamp.outline : d.paths.find((p) => `paths.${p.name}` === item)?.points;
    if (!line || o.change?.item === item) continue;
    trace(ctx, s, line.map(([x, y]): Point => [x + by[0], y + by[1]]), item === 'outline');
    edged(ctx, '#fff', 2);
  }
  if (o.under && o.under.led >= 0 && o.tool === 'choose' && !o.moving && d.lamp.leds[o.under.led]) {
    const led = o.under.led;
    const together = o.groups ? d.lamp.leds.flatMap((l, i) => (l[2] === d.lamp.leds[led]![2] ? [i] : [])) : (d.of[led]?.leds ?? [led]);
    ring(ctx, s, together.map((i): Point => [d.lamp.leds[i]![0], d.lamp.leds[i]![1]]), r, '#ffffffa0', 1);
  }
}

// ringGap keeps the rings of neighbours apart.
const ringGap = (s: Sheet, d: Drawing) => Math.max(0.5, Math.min(2.5, d.pitch * s.view.scale * 0.1));

function fill(ctx: CanvasRenderingContext2D, s: Sheet, d: Drawing, points: readonly Point[], colour: (i: number) => string) {
  const r = radiusOf(s, d);
  points.forEach((p, i) => {
    const [x, y] = screen(s.view, p);
    ctx.beginPath();
    ctx.arc(x, y, r, 0, 7);
    ctx.fillStyle = css(colour(i), 0.8);
    ctx.fill();
    ctx.lineWidth = 1.5;
    ctx.strokeStyle = '#000c';
    ctx.stroke();
  });
}

function changed(ctx: CanvasRenderingContext2D, s: Sheet, d: Drawing, c: Change, colour: string) {
  if ('line' in c) {
    trace(ctx, s, c.line, c.closed);
    edged(ctx, '#fff', 2);
    square(ctx, s, c.to, '#fff', 5);
  }
  fill(ctx, s, d, c.leds, () => colour);
  ring(ctx, s, c.leds, radiusOf(s, d) + ringGap(s, d), '#fff');
}

function square(ctx: CanvasRenderingContext2D, s: Sheet, p: Point, colour: string, half: number) {
  const [x, y] = screen(s.view, p);
  ctx.beginPath();
  ctx.rect(x - half, y - half, 2 * half, 2 * half);
  ctx.fillStyle = colour;
  ctx.fill();
  ctx.lineWidth = 1.5;
  ctx.strokeStyle = '#000';
  ctx.stroke();
}

function handle(ctx: CanvasRenderingContext2D, s: Sheet, h: Handle, touched: boolean) {
  if (h.insert !== undefined) {
    const [x, y] = screen(s.view, h.at);
    ctx.beginPath();
    ctx.arc(x, y, 4.5 * s.letter, 0, 7);
    ctx.fillStyle = '#0d0f11';
    ctx.fill();
    ctx.lineWidth = 1.5;
    ctx.strokeStyle = inks.accent;
    ctx.stroke();
    ctx.beginPath();
    for (const [dx, dy] of [[3, 0], [0, 3]] as const) {
      ctx.moveTo(x - dx, y - dy);
      ctx.lineTo(x + dx, y + dy);
    }
    ctx.stroke();
    return;
  }
  square(ctx, s, h.at, touched ? inks.warn : inks.accent, (h.id === 'centre' ? 4 : 5.5) * s.letter);
}

function guide(ctx: CanvasRenderingContext2D, s: Sheet, from: Point, to: Point) {
  trace(ctx, s, [from, to], false);
  ctx.setLineDash([3, 4]);
  edged(ctx, inks.warn, 1);
  ctx.setLineDash([]);
}

// draft is what the tool has made so far.
function draft(ctx: CanvasRenderingContext2D, s: Sheet, o: Over) {
  const { tool, hover } = o;
  if (tool === 'choose') return;
  const points = hover && o.points.length < needs[tool] ? [...o.points, hover.to] : [...o.points];
  let says = '';
  if (tool === 'led') fill(ctx, s, o.drawing, points, () => o.colour);
  else if (tool === 'outline' || tool === 'path') {
    trace(ctx, s, points, tool === 'outline' && points.length > 2);
    edged(ctx, '#fff', 1.5);
    if (points.length > 1) says = `${Number(lengthOf(points.slice(-2)).toFixed(2))} mm`;
  } else {
    const kind: Drawn = tool;
    const body = bodyOf(kind, points, o.size);
    if (body) {
      fill(ctx, s, o.drawing, ledsOf(kind, body), () => o.colour);
      says = inWords(kind, body);
    }
    if (kind === 'line' || !body) {
      trace(ctx, s, points, false);
      edged(ctx, '#ffffffa0', 1);
    }
  }
  for (const p of o.points) square(ctx, s, p, '#fff', 3.5);
  if (hover) {
    ring(ctx, s, [hover.to], hover.on === 'LED' || hover.on === 'spot' || hover.on === 'corner' ? 9 : 4, hover.on === 'grid' || hover.on === '' ? '#ffffffb0' : inks.warn, 1.5);
    if (says) label(ctx, s, hover.to, says);
  }
}

function label(ctx: CanvasRenderingContext2D, s: Sheet, at: Point, text: string) {
  ctx.font = `600 ${14 * s.letter}px ${letters}`;
  ctx.textBaseline = 'middle';
  const wide = ctx.measureText(text).width;
  const [x, y] = screen(s.view, at);
  const left = x + 16 + wide > s.width ? x - 16 - wide : x + 16;
  ctx.textAlign = 'left';
  written(ctx, text, left, Math.max(52 * s.letter, y - 20 * s.letter), '#fff');
}

function spots(ctx: CanvasRenderingContext2D, s: Sheet, o: Over) {
  const kinds: [Point[], string, number][] = [[[], inks.accent, 1.5], [[], '#fff', 3], [[], '#98a1a880', 1]];
  o.spots.forEach((spot, i) => kinds[spot.taken ? 2 : o.spotsChosen.has(i) ? 1 : 0]![0].push(spot.at));
  for (const [points, colour, width] of kinds) if (points.length > 0) ring(ctx, s, points, radiusOf(s, o.drawing) + 5, colour, width);
}

function marks(ctx: CanvasRenderingContext2D, s: Sheet, list: readonly Mark[], map: Map3) {
  ctx.font = `600 ${14 * s.letter}px ${letters}`;
  ctx.textAlign = 'left';
  ctx.textBaseline = 'bottom';
  list.forEach((m, i) => {
    const [x, y] = screen(s.view, apply(map, m.pixel));
    ctx.beginPath();
    for (const [dx, dy] of [[1, 0], [-1, 0], [0, 1], [0, -1]] as const) {
      ctx.moveTo(x + dx * 3, y + dy * 3);
      ctx.lineTo(x + dx * 14, y + dy * 14);
    }
    edged(ctx, inks.warn, 2);
    written(ctx, String(i + 1), x + 7, y - 5, inks.warn);
  });
}
