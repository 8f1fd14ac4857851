// The sheet: grid, outline, light paths and LEDs at scale, with rulers along two edges. It knows nothing of what is chosen or dragged.

import { greys } from '../../picture/base';
import { css } from '../../picture/ink';
import { plan } from '../../picture/plan';
import type { Lamp, Point } from '../../engine/types';
import type { Drawing } from './drawing';
import { screen, ticks, type Grid, type View } from './view';

export interface Sheet {
  view: View;
  width: number; // dots
  height: number;
  letter: number; // size of letters, 1 is normal
}

export const ruler = 22; // dots at normal letters
export const letters = "Barlow, 'Segoe UI', system-ui, sans-serif";

export function drawSheet(ctx: CanvasRenderingContext2D, s: Sheet, d: Drawing, grid: Grid, groups: boolean, overPhoto: boolean) {
  if (grid.mm > 0) drawGrid(ctx, s, grid);
  drawLines(ctx, s, d, overPhoto);
  if (groups) drawGroups(ctx, s, d);
  drawLEDs(ctx, s, d);
}

// drawGrid draws the lines that the ruler has, and those of the grid where they are not too dense.
function drawGrid(ctx: CanvasRenderingContext2D, s: Sheet, grid: Grid) {
  const t = ticks(s.view.scale, grid.inch);
  const fine = grid.mm * s.view.scale >= 7 ? grid.mm : t.small * s.view.scale >= 7 ? t.small : t.large;
  for (const [step, colour] of [[fine, '#9aa7b014'], [t.large, '#9aa7b02e']] as const) {
    ctx.beginPath();
    along(s, step, 0, (at) => (ctx.moveTo(at, 0), ctx.lineTo(at, s.height)));
    along(s, step, 1, (at) => (ctx.moveTo(0, at), ctx.lineTo(s.width, at)));
    ctx.strokeStyle = colour;
    ctx.lineWidth = 1;
    ctx.stroke();
  }
  const [x, y] = screen(s.view, [0, 0]);
  ctx.beginPath();
  ctx.moveTo(crisp(x), 0);
  ctx.lineTo(crisp(x), s.height);
  ctx.moveTo(0, crisp(y));
  ctx.lineTo(s.width, crisp(y));
  ctx.strokeStyle = '#9aa7b05c';
  ctx.stroke();
}

const zoomWide = 170; // dots, of the buttons to come nearer at letters of normal size
const crisp = (v: number) => Math.round(v) + 0.5;

// along calls f with the dots of every step that can be seen, across (0) or up (1), and its millimetres.
function along(s: Sheet, step: number, axis: 0 | 1, f: (dot: number, mm: number) => void) {
  const { view } = s;
  const [from, to] = axis === 0 ? [-view.x / view.scale, (s.width - view.x) / view.scale] : [(view.y - s.height) / view.scale, view.y / view.scale];
  for (let n = Math.ceil(from / step); n <= to / step; n++) f(crisp(axis === 0 ? view.x + n * step * view.scale : view.y - n * step * view.scale), n * step);
}

export function trace(ctx: CanvasRenderingContext2D, s: Sheet, points: readonly Point[], closed: boolean) {
  ctx.beginPath();
  points.forEach((p, i) => (i === 0 ? ctx.moveTo(...screen(s.view, p)) : ctx.lineTo(...screen(s.view, p))));
  if (closed) ctx.closePath();
}

export const inks = { outline: '#8b98a2', path: '#7fbccb', accent: '#7fd0e4', warn: '#e9c069', faint: greys.faint, writing: greys.writing };

// drawLines draws the outline and the light paths.
function drawLines(ctx: CanvasRenderingContext2D, s: Sheet, d: Drawing, overPhoto: boolean) {
  if (d.lamp.outline.length > 1) {
    trace(ctx, s, d.lamp.outline, true);
    if (!overPhoto) {
      ctx.fillStyle = '#ffffff08';
      ctx.fill();
    }
    edged(ctx, inks.outline, 1.5);
  }
  ctx.font = `400 ${13 * s.letter}px ${letters}`;
  ctx.textAlign = 'left';
  ctx.textBaseline = 'bottom';
  for (const p of d.paths) {
    trace(ctx, s, p.points, false);
    ctx.setLineDash([7, 5]);
    edged(ctx, inks.path, 1.5);
    ctx.setLineDash([]);
    const [a, b] = [p.points[0], p.points[1]];
    if (a && b) arrow(ctx, screen(s.view, a), screen(s.view, b), inks.path);
    if (a) written(ctx, p.name, screen(s.view, a)[0] + 8, screen(s.view, a)[1] - 6, inks.path);
  }
}

// edged strokes so that it can be seen on any photo.
export function edged(ctx: CanvasRenderingContext2D, colour: string, width: number) {
  ctx.lineWidth = width + 2;
  ctx.strokeStyle = '#000a';
  ctx.stroke();
  ctx.lineWidth = width;
  ctx.strokeStyle = colour;
  ctx.stroke();
}

export function written(ctx: CanvasRenderingContext2D, text: string, x: number, y: number, colour: string) {
  ctx.lineWidth = 4;
  ctx.lineJoin = 'round';
  ctx.strokeStyle = '#0d0f11d0';
  ctx.strokeText(text, x, y);
  ctx.fillStyle = colour;
  ctx.fillText(text, x, y);
}

function arrow(ctx: CanvasRenderingContext2D, a: Point, b: Point, colour: string) {
  const size = Math.hypot(b[0] - a[0], b[1] - a[1]);
  if (size < 12) return;
  const [ux, uy] = [(b[0] - a[0]) / size, (b[1] - a[1]) / size];
  const at: Point = [a[0] + ux * Math.min(size / 2, 26), a[1] + uy * Math.min(size / 2, 26)];
  ctx.beginPath();
  ctx.moveTo(at[0] + ux * 7, at[1] + uy * 7);
  ctx.lineTo(at[0] - ux * 4 - uy * 5, at[1] - uy * 4 + ux * 5);
  ctx.lineTo(at[0] - ux * 4 + uy * 5, at[1] - uy * 4 - ux * 5);
  ctx.closePath();
  ctx.fillStyle = colour;
  ctx.fill();
}

// radiusOf is how large an LED is drawn: a package of 3 mm, large enough to be seen, and apart from its neighbours.
export const radiusOf = (s: Sheet, d: Drawing) => Math.max(1.4, Math.min(Math.max(3 * s.letter, Math.min(1.5 * s.view.scale, 14 * s.letter)), d.pitch * s.view.scale * 0.38));

function drawLEDs(ctx: CanvasRenderingContext2D, s: Sheet, d: Drawing) {
  const { lamp } = d;
  const r = radiusOf(s, d);
  const colours = new Map<string, Path2D>();
  for (const [x, y, g] of lamp.leds) {
    const colour = lamp.groups[g]?.colour ?? '';
    let path = colours.get(colour);
    if (!path) colours.set(colour, (path = new Path2D()));
    const [px, py] = screen(s.view, [x, y]);
    if (px < -r || py < -r || px > s.width + r || py > s.height + r) continue;
    path.moveTo(px + r, py);
    path.arc(px, py, r, 0, 7);
  }
  for (const [colour, path] of colours) {
    ctx.fillStyle = css(colour, 0.8);
    ctx.fill(path);
    ctx.lineWidth = 1.5;
    ctx.strokeStyle = '#000c';
    ctx.stroke(path);
  }
}

// drawGroups joins the LEDs of each group.
function drawGroups(ctx: CanvasRenderingContext2D, s: Sheet, d: Drawing) {
  const { lamp } = d;
  const of: Point[][] = lamp.groups.map(() => []);
  for (const [x, y, g] of lamp.leds) of[g]?.push([x, y]);
  ctx.lineCap = 'round';
  of.forEach((points, g) => {
    if (points.length < 2) return;
    ctx.beginPath();
    for (const [a, b] of joined(points)) {
      ctx.moveTo(...screen(s.view, a));
      ctx.lineTo(...screen(s.view, b));
    }
    ctx.lineWidth = Math.max(2, radiusOf(s, d) * 0.9);
    ctx.strokeStyle = css(lamp.groups[g]?.colour ?? '', 0.16);
    ctx.stroke();
  });
  ctx.lineCap = 'butt';
}

const mostJoined = 200; // points beyond which they are joined in their order, for time grows with the square

// joined gives the shortest lines that join points: Prim, Shortest connection networks, 1957.
export function joined(points: readonly Point[]): [Point, Point][] {
  if (points.length > mostJoined) return points.slice(1).map((p, i) => [points[i]!, p]);
  const near = points.map((p) => ({ to: 0, d: Math.hypot(p[0] - points[0]![0], p[1] - points[0]![1]) }));
  const out: [Point, Point][] = [];
  const done = new Set([0]);
  while (done.size < points.length) {
    let next = -1;
    near.forEach((n, i) => {
      if (!done.has(i) && (next < 0 || n.d < near[next]!.d)) next = i;
    });
    done.add(next);
    out.push([points[near[next]!.to]!, points[next]!]);
    points.forEach((p, i) => {
      const d = Math.hypot(p[0] - points[next]![0], p[1] - points[next]![1]);
      if (!done.has(i) && d < near[i]!.d) near[i] = { to: next, d };
    });
  }
  return out;
}

// drawRulers draws the rulers with the place of the pointer, and which way the drawing looks.
export function drawRulers(ctx: CanvasRenderingContext2D, s: Sheet, lamp: Lamp, grid: Grid, pointer: Point | null) {
  const size = ruler * s.letter;
  const t = ticks(s.view.scale, grid.inch);
  ctx.fillStyle = '#16191cf2';
  ctx.fillRect(0, 0, s.width, size);
  ctx.fillRect(0, 0, size, s.height);
  ctx.strokeStyle = '#4a525a';
  ctx.lineWidth = 1;
  ctx.beginPath();
  const part = (at: number, from: number) => Math.abs(at / from - Math.round(at / from)) < 1e-6;
  along(s, t.small, 0, (dot, mm) => dot > size && (ctx.moveTo(dot, size), ctx.lineTo(dot, size - (part(mm, t.large) ? 10 : 4) * s.letter)));
  along(s, t.small, 1, (dot, mm) => dot > size && (ctx.moveTo(size, dot), ctx.lineTo(size - (part(mm, t.large) ? 10 : 4) * s.letter, dot)));
  ctx.stroke();
  ctx.font = `400 ${11.5 * s.letter}px ${letters}`;
  ctx.fillStyle = greys.faint;
  ctx.textBaseline = 'middle';
  ctx.textAlign = 'left';
  const number = (mm: number) => String(Number((grid.inch ? mm / 25.4 : mm).toFixed(4)) + 0);
  along(s, t.large, 0, (dot, mm) => dot > size && ctx.fillText(number(mm), dot + 3, size * 0.38));
  along(s, t.large, 1, (dot, mm) => {
    if (dot <= size + 14) return;
    ctx.save();
    ctx.translate(size * 0.38, dot - 3);
    ctx.rotate(-Math.PI / 2);
    ctx.fillText(number(mm), 0, 0);
    ctx.restore();
  });
  ctx.fillStyle = '#16191c';
  ctx.fillRect(0, 0, size, size);
  ctx.fillStyle = greys.faint;
  ctx.textAlign = 'center';
  ctx.fillText(grid.inch ? 'in' : 'mm', size / 2, size / 2 + 1);
  if (pointer) {
    const [x, y] = screen(s.view, pointer);
    ctx.fillStyle = inks.accent;
    ctx.fillRect(Math.round(x) - 0.5, 0, 1.5, size);
    ctx.fillRect(0, Math.round(y) - 0.5, size, 1.5);
  }
  title(ctx, s, lamp);
}

// title says which lamp this is, from where it is seen, and which side is which.
function title(ctx: CanvasRenderingContext2D, s: Sheet, lamp: Lamp) {
  const { end, side } = lamp.place;
  const left = (ruler + 10) * s.letter;
  const line = (ruler + 22) * s.letter;
  plan(ctx, left, line, end, s.letter);
  ctx.textBaseline = 'middle';
  ctx.textAlign = 'left';
  ctx.font = `600 ${15 * s.letter}px ${letters}`;
  const name = side === 'centre' ? 'Centre' : side;
  written(ctx, name, left + 36 * s.letter, line, inks.writing);
  const wide = ctx.measureText(name).width;
  ctx.font = `400 ${13 * s.letter}px ${letters}`;
  const from = left + 44 * s.letter + wide;
  const says = end === 'rear' ? 'rear, seen from behind' : 'front, seen from the front';
  const room = s.width - zoomWide * s.letter - from; // the buttons to come nearer stand at the right
  written(ctx, ctx.measureText(says).width <= room ? says : end, from, line, inks.faint);
  // On the driver's left the left of a rear lamp is outboard; seen from the front the sides change over.
  const [l, r] = side === 'centre' ? (end === 'rear' ? ['LH', 'RH'] : ['RH', 'LH']) : (side === 'LH') === (end === 'rear') ? ['outboard', 'inboard'] : ['inboard', 'outboard'];
  const foot = s.height - 14 * s.letter;
  written(ctx, `◂ ${l}`, left, foot, inks.faint);
  ctx.textAlign = 'right';
  written(ctx, `${r} ▸`, s.width - 12 * s.letter, foot, inks.faint);
}
