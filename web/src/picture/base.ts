// What stands still in the picture: ground, outlines, dark LEDs, names, and which way each view looks.

import { css } from './ink';
import { plan } from './plan';
import { nameRoom, smallTitleRoom, smallTitleWidth, titleRoom, titleWidth, type Placed, type Scene, type View } from './scene';

// Greys of the picture; it is dark in both themes, for dim light must be seen.
export const greys = {
  ground: '#0d0f11',
  lens: '#16191c',
  edge: '#4a525a',
  writing: '#d3d7d9',
  faint: '#98a1a8', // contrast 7.4 on the ground; WCAG 2.2, 1.4.3 asks for 4.5
};

const letters = "Barlow, 'Segoe UI', system-ui, sans-serif";

export const x = (s: Scene, p: Placed, mm: number) => p.view.left + (mm + p.dx - p.view.box.x0) * s.scale;
export const y = (s: Scene, p: Placed, mm: number) => p.view.top + (p.view.box.y1 - mm - p.dy) * s.scale;

export const titles = { rear: 'Rear, seen from behind', front: 'Front, seen from the front' };
const shortTitles = { rear: 'Rear', front: 'Front' };

export function drawBase(ctx: CanvasRenderingContext2D, s: Scene, names: boolean) {
  s.written = [];
  for (const v of s.views) drawTitle(ctx, s, v);
  for (const p of s.lamps) drawLamp(ctx, s, p);
  for (const v of s.views) drawBreaks(ctx, s, v);
  if (names && s.named) for (const v of s.views) drawNames(ctx, s, v);
}

// drawTitle writes above a view: the sides where they are seen from here, the plan, and what is seen.
function drawTitle(ctx: CanvasRenderingContext2D, s: Scene, v: View) {
  const { letter } = s;
  const width = Math.max((v.box.x1 - v.box.x0) * s.scale, (s.small ? smallTitleWidth : titleWidth) * letter);
  const middle = v.left + ((v.box.x1 - v.box.x0) * s.scale) / 2;
  const left = middle - width / 2;
  const line = v.top - ((s.small ? smallTitleRoom : titleRoom) / 2 + (s.small ? 0 : 3)) * letter;
  const [a, b] = v.end === 'rear' ? ['LH', 'RH'] : ['RH', 'LH'];
  ctx.textBaseline = 'middle';
  ctx.font = `600 ${14 * letter}px ${letters}`;
  ctx.fillStyle = greys.writing;
  ctx.textAlign = 'left';
  ctx.fillText(`◂ ${a}`, left, line);
  ctx.textAlign = 'right';
  ctx.fillText(`${b} ▸`, left + width, line);
  ctx.font = `400 ${13 * letter}px ${letters}`;
  ctx.fillStyle = greys.faint;
  ctx.textAlign = 'left';
  const title = s.small ? shortTitles[v.end] : titles[v.end];
  const before = s.small ? 0 : 36 * letter; // the plan
  const wide = ctx.measureText(title).width + before;
  ctx.fillText(title, middle - wide / 2 + before, line);
  const side = 36 * letter; // wide enough for either of the two
  s.written.push({ x: middle, y: line, w: wide, h: 28 * letter }, { x: left + side / 2, y: line, w: side, h: 18 * letter }, { x: left + width - side / 2, y: line, w: side, h: 18 * letter });
  if (!s.small) plan(ctx, middle - wide / 2, line, v.end, letter);
}

function drawLamp(ctx: CanvasRenderingContext2D, s: Scene, p: Placed) {
  const { lamp } = p;
  if (lamp.outline.length > 2) {
    ctx.beginPath();
    lamp.outline.forEach(([mx, my], i) => (i === 0 ? ctx.moveTo(x(s, p, mx), y(s, p, my)) : ctx.lineTo(x(s, p, mx), y(s, p, my))));
    ctx.closePath();
    ctx.fillStyle = greys.lens;
    ctx.fill();
    ctx.strokeStyle = greys.edge;
    ctx.lineWidth = 1;
    ctx.stroke();
  }
  const r = Math.max(0.7, Math.min(5, p.pitch * s.scale * 0.2));
  const colours = new Map<string, Path2D>();
  for (const [mx, my, g] of lamp.leds) {
    const colour = lamp.groups[g]?.colour ?? '';
    let path = colours.get(colour);
    if (!path) colours.set(colour, (path = new Path2D()));
    const px = x(s, p, mx);
    const py = y(s, p, my);
    path.moveTo(px + r, py);
    path.arc(px, py, r, 0, 7);
  }
  for (const [colour, path] of colours) {
    ctx.fillStyle = css(colour, 0.09);
    ctx.fill(path);
  }
}

// drawBreaks marks where empty space is shortened, with its width on the car.
function drawBreaks(ctx: CanvasRenderingContext2D, s: Scene, v: View) {
  const { letter } = s;
  ctx.font = `400 ${13 * letter}px ${letters}`;
  ctx.textAlign = 'center';
  ctx.textBaseline = 'middle';
  ctx.strokeStyle = ctx.fillStyle = greys.faint;
  ctx.lineWidth = letter;
  for (const b of v.breaks) {
    const bx = v.left + (b.x - v.box.x0) * s.scale;
    const by = v.top + (v.box.y1 - b.y) * s.scale;
    const [tall, lean, apart] = [9 * letter, 3 * letter, 3 * letter];
    ctx.beginPath();
    for (const side of [-apart, apart]) {
      ctx.moveTo(bx + side - lean, by + tall);
      ctx.lineTo(bx + side + lean, by - tall);
    }
    ctx.stroke();
    ctx.fillText(`${(b.mm / 1000).toFixed(2)} m`, bx, by + tall + 11 * letter);
    s.written.push({ x: bx, y: by + tall, w: 44 * letter, h: 42 * letter });
  }
}

// drawNames writes each lamp's name below it, where it does not run into a neighbour's.
function drawNames(ctx: CanvasRenderingContext2D, s: Scene, v: View) {
  const { letter } = s;
  ctx.font = `400 ${13 * letter}px ${letters}`;
  ctx.textAlign = 'center';
  ctx.textBaseline = 'middle';
  ctx.fillStyle = greys.writing;
  const taken: { x0: number; x1: number; y: number }[] = [];
  for (const p of v.lamps) {
    const wide = ctx.measureText(p.lamp.name).width + 8;
    const middle = v.left + ((p.box.x0 + p.box.x1) / 2 - v.box.x0) * s.scale;
    let below = v.top + (v.box.y1 - p.box.y0) * s.scale + (nameRoom / 2 + 1) * letter;
    const spot = { x0: middle - wide / 2, x1: middle + wide / 2, y: below };
    const inLamp = (yy: number) =>
      v.lamps.some((o) => {
        const top = v.top + (v.box.y1 - o.box.y1) * s.scale - 7 * letter;
        const bottom = v.top + (v.box.y1 - o.box.y0) * s.scale + 7 * letter;
        const l = v.left + (o.box.x0 - v.box.x0) * s.scale;
        const r = v.left + (o.box.x1 - v.box.x0) * s.scale;
        return yy > top && yy < bottom && spot.x0 < r && spot.x1 > l;
      });
    const clash = (yy: number) => inLamp(yy) || taken.some((t) => Math.abs(t.y - yy) < 14 * letter && t.x0 < spot.x1 && t.x1 > spot.x0);
    for (let tries = 0; tries < 6 && clash(below); tries++) below += 14 * letter;
    if (clash(below)) continue;
    spot.y = below;
    taken.push(spot);
    ctx.fillText(p.lamp.name, middle, below);
    s.written.push({ x: middle, y: below, w: wide, h: 16 * letter });
  }
}
