// Handles on the lamp for the chosen stroke: an arrow that is turned to its direction, its edge and band as widths in millimetres along
// the travel, in the middle of what the stroke goes over; and at the picture's foot its start and length in the time of the routine.
// The numbers are the document's, not those of a moment.

import type { Value } from '../../engine/types';
import { length, millimetres } from '../../engine/units';
import type { Picture } from '../../picture/picture';
import type { Area } from '../../picture/scene';
import type { Part } from './region';
import { spotNear } from './spots';
import type { Edit } from './state';
import { drawStrip, gripsOf, pulled, saysOf, stripOf, type Strip, type TimeGrip } from './timestrip';

export interface Stroke {
  path: string[]; // of what stands in it
  kind: string;
  body: { [key: string]: Value };
  parts: Part[];
  across: boolean;
  travels: boolean; // it has a direction, an edge, a band
  totalMs: number; // of the routine
}

interface Grip {
  what: 'direction' | 'edge' | 'band' | TimeGrip;
  x: number; // dots
  y: number;
  at: Field;
}

interface Field {
  x: number; // middle of the region, dots
  y: number;
  dx: number; // direction of travel
  dy: number;
  half: number; // dots from the middle to either end along the travel
  across: number; // dots from the middle to either side
  side: string; // LH, RH or centre; '' over several
  front: boolean;
}

const text = (v: Value | undefined) => (typeof v === 'string' ? v : '');

// fieldsOf gives what is seen as one: each lamp, or the part of a routine over several lamps that is seen in one view.
function fieldsOf(p: Picture, s: Stroke): Field[] {
  const direction = text(s.body.direction);
  const sided = direction === 'outboard' || direction === 'inboard';
  const bins = new Map<string, { points: [number, number][]; side: string; front: boolean }>();
  for (const part of s.parts) {
    const placed = p.placed(part.lamp.name);
    if (!placed) continue;
    const { end, side } = part.lamp.place;
    const key = s.across ? end + (sided ? side : '') : part.lamp.name;
    const bin = bins.get(key) ?? { points: [], side, front: end === 'front' };
    if (bin.side !== side) bin.side = '';
    const mine = new Set(part.groups);
    for (const [x, y, g] of part.lamp.leds) if (mine.has(g)) bin.points.push(p.screen(placed, x, y));
    bins.set(key, bin);
  }
  return [...bins.values()].flatMap((b) => {
    if (b.points.length === 0) return [];
    const xs = b.points.map((q) => q[0]);
    const ys = b.points.map((q) => q[1]);
    const [x0, x1, y0, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
    const [dx, dy] = way(direction, b.side, b.front);
    const flat = dx !== 0;
    return [{ x: (x0 + x1) / 2, y: (y0 + y1) / 2, dx, dy, half: Math.max(26, (flat ? x1 - x0 : y1 - y0) / 2), across: Math.max(9, (flat ? y1 - y0 : x1 - x0) / 2), side: b.side, front: b.front }];
  });
}

// way gives a direction on the screen; what goes round or outward is drawn to the right.
function way(direction: string, side: string, front: boolean): [number, number] {
  const right: [number, number] = front ? [-1, 0] : [1, 0]; // the driver's right; the front is seen from the front
  const left: [number, number] = [-right[0], 0];
  switch (direction) {
    case 'up':
      return [0, -1];
    case 'down':
      return [0, 1];
    case 'left':
      return left;
    case 'right':
      return right;
    case 'outboard':
      return side === 'LH' ? left : right;
    case 'inboard':
      return side === 'LH' ? right : left;
  }
  return [1, 0];
}

const straight = (d: string) => ['up', 'down', 'left', 'right', 'inboard', 'outboard'].includes(d);

// directionTo names the direction of a drag from the middle of a field.
function directionTo(f: Field, dx: number, dy: number, now: string): string {
  if (Math.abs(dy) > Math.abs(dx)) return dy < 0 ? 'up' : 'down';
  const right = dx > 0 !== f.front;
  if (f.side !== 'LH' && f.side !== 'RH') return right ? 'right' : 'left';
  if (now === 'left' || now === 'right') return right ? 'right' : 'left';
  return right === (f.side === 'RH') ? 'outboard' : 'inboard';
}

export class Handles {
  change: (edits: Edit[] | null, done: boolean, what: string) => void = () => {};
  private grips: Grip[] = [];
  private held: { grip: Grip; now: string } | null = null;
  private strip: Strip | null = null;
  private leftAt: Edit | null = null; // what was let go and is not in the document yet
  private of: Stroke | null = null;

  get stroke(): Stroke | null {
    return this.of;
  }

  // A stroke as the document has it now. What is held of another one is let go of: it would change this one.
  set stroke(s: Stroke | null) {
    if (this.held && s !== this.of) {
      const { what } = this.held.grip;
      this.held = null;
      this.change(null, true, what);
    }
    this.of = s;
    this.leftAt = null;
  }

  constructor(private p: Picture) {
    p.overlay = (ctx) => this.draw(ctx);
    p.foot = 22; // the time strip; with no stroke chosen too, so that nothing moves when one is
    const host = p.host;
    const place = (e: PointerEvent): [number, number] => {
      const box = host.getBoundingClientRect();
      return [e.clientX - box.left, e.clientY - box.top];
    };
    const find = (e: PointerEvent) => {
      const [x, y] = place(e);
      const reach = e.pointerType === 'touch' ? 26 : 13;
      return this.grips.map((g) => ({ g, d: Math.hypot(g.x - x, g.y - y) })).filter((c) => c.d < reach).sort((a, b) => a.d - b.d)[0]?.g;
    };
    host.addEventListener('pointerdown', (e) => {
      const grip = e.button === 0 ? find(e) : undefined;
      if (!grip) return;
      e.stopImmediatePropagation();
      this.held = { grip, now: '' };
      host.setPointerCapture(e.pointerId);
    }, true);
    host.addEventListener('pointermove', (e) => {
      if (!this.held) {
        host.style.cursor = find(e) ? 'grab' : '';
        return;
      }
      e.stopImmediatePropagation();
      this.drag(...place(e));
    }, true);
    const end = (e: PointerEvent) => {
      if (!this.held) return;
      e.stopImmediatePropagation();
      const edits = this.held.now ? this.edits() : null;
      const what = this.held.grip.what;
      this.leftAt = edits && e.type === 'pointerup' ? edits.at(-1)! : null;
      this.held = null;
      if (edits) this.change(e.type === 'pointerup' ? edits : null, true, what);
      this.p.redraw();
    };
    host.addEventListener('pointerup', end, true);
    host.addEventListener('pointercancel', end, true);
  }

  private drag(x: number, y: number) {
    const { grip } = this.held!;
    const f = grip.at;
    const scale = this.p.scene.scale;
    const along = Math.max(0, (x - f.x) * f.dx + (y - f.y) * f.dy) / scale; // mm from the middle, forward
    const step = scale > 3 ? 1 : scale > 0.6 ? 5 : 10;
    const snap = (mm: number) => Math.round(mm / step) * step;
    const band = millimetres(text(this.stroke!.body.band)) ?? 0;
    let now: string;
    if (grip.what === 'start' || grip.what === 'for') now = pulled(this.strip!, grip.what, x);
    else if (grip.what === 'direction') now = Math.hypot(x - f.x, y - f.y) < 12 ? '' : directionTo(f, x - f.x, y - f.y, text(this.stroke!.body.direction));
    else if (grip.what === 'band') now = length(Math.max(step, snap(2 * along)));
    else now = length(Math.max(0, snap(along - band / 2)));
    if (!now || now === this.held!.now) return;
    this.held!.now = now;
    this.change(this.edits(), false, grip.what);
    this.p.redraw();
  }

  private edits(): Edit[] {
    const { grip, now } = this.held!;
    const s = this.stroke!;
    const edits: Edit[] = [{ op: 'set', path: [...s.path, grip.what], value: now }];
    if (grip.what === 'direction') for (const k of ['along', 'backwards']) if (s.body[k] !== undefined) edits.unshift({ op: 'delete', path: [...s.path, k] });
    return edits;
  }

  private draw(ctx: CanvasRenderingContext2D) {
    this.grips = [];
    const s = this.stroke;
    if (!s) return;
    const held = this.held;
    const body = { ...s.body };
    if (this.leftAt) body[this.leftAt.path.at(-1)!] = this.leftAt.value!;
    if (held?.now) body[held.grip.what] = held.now;
    const shown = { ...s, body };
    const { letter, scale } = this.p.scene;
    ctx.font = `600 ${13 * letter}px Barlow, 'Segoe UI', system-ui, sans-serif`;
    ctx.textBaseline = 'middle';
    ctx.lineCap = 'round';
    if (text(body.along)) this.drawPaths(ctx, text(body.along), text(body.backwards) === 'true');
    const fields = fieldsOf(this.p, shown);
    const knob = (what: Grip['what'], [x, y]: [number, number], f: Field) => {
      this.grips.push({ what, x, y, at: f });
      ctx.beginPath();
      ctx.arc(x, y, 6.5, 0, 7);
      ctx.fillStyle = held?.grip.what === what ? '#7fbccb' : '#0d0f11';
      ctx.fill();
      ctx.lineWidth = 2;
      ctx.strokeStyle = '#eef6f8';
      ctx.stroke();
    };
    if (fields[0]) this.drawTime(ctx, fields[0], body, knob);
    if (!s.travels) return;
    const words: { grip: [number, number]; label: string; below: boolean }[] = [];
    const tipOf = (f: Field): [number, number] => [f.x + f.dx * (f.half + 16), f.y + f.dy * (f.half + 16)];
    fields.forEach((f, i) => {
      const d = text(body.direction);
      const edge = (millimetres(text(body.edge)) ?? 0) * scale;
      const band = (millimetres(text(body.band)) ?? 0) * scale;
      const at = (along: number, aside = 0): [number, number] => [f.x + f.dx * along - f.dy * aside, f.y + f.dy * along + f.dx * aside];
      const line = (points: [number, number][], dash: number[] = []) => {
        for (const [width, colour] of [[4.5, '#000a'], [1.6, '#eef6f8']] as const) {
          ctx.beginPath();
          points.forEach((q, n) => (n === 0 ? ctx.moveTo(...q) : ctx.lineTo(...q)));
          ctx.lineWidth = width;
          ctx.strokeStyle = colour;
          ctx.setLineDash(colour === '#000a' ? [] : dash);
          ctx.stroke();
        }
        ctx.setLineDash([]);
      };
      const [tx, ty] = tipOf(f);
      const met = fields.some((g) => g !== f && Math.hypot(tipOf(g)[0] - tx, tipOf(g)[1] - ty) < 34); // two arrows that meet stay in their own fields
      const tip = f.half + (met ? 0 : 16);
      const deep = Math.min(f.across + 7, 34);
      const head = (along: number, forward: number) => line([at(along - 9 * forward, -6), at(along, 0), at(along - 9 * forward, 6)]);
      if (d) line([at(-f.half), at(tip)]);
      if (d === 'outward' || d === 'inward') for (const side of [-1, 1]) head(side * f.half * 0.8, d === 'outward' ? side : -side);
      else if (d === 'clockwise' || d === 'anticlockwise') this.drawRound(f, (d === 'clockwise') !== (f.side === 'RH'), line);
      else if (d) head(tip - 9, 1);
      if (band > 0) for (const side of [-1, 1]) line([at((side * band) / 2, -deep), at((side * band) / 2, deep)]);
      else line([at(0, -deep), at(0, deep)]);
      if (edge > 0) for (const side of band > 0 ? [-1, 1] : [1]) line([at(side * (band / 2 + edge), -deep * 0.6), at(side * (band / 2 + edge), deep * 0.6)], [2, 4]);
      const grip = (what: Grip['what'], at: [number, number], label: string, below: boolean) => {
        knob(what, at, f);
        if (i === 0) words.push({ grip: at, label, below });
      };
      const edgeAt = at(band / 2 + Math.max(edge, 0), f.dx !== 0 ? deep * 0.6 : -deep * 0.6);
      if (band > 0) grip('band', at(band / 2, -deep), `band ${text(body.band)}`, false);
      grip('edge', edgeAt, `edge ${text(body.edge) || '0 mm'}`, f.dx !== 0);
      if (d) grip('direction', at(tip), straight(d) ? d : `${d}, drag to turn it`, false);
    });
    this.write(ctx, words);
  }

  // write puts the words of the grips where they cover nothing that is written, and no grip.
  private write(ctx: CanvasRenderingContext2D, words: { grip: [number, number]; label: string; below: boolean }[]) {
    const { letter } = this.p.scene;
    const { clientWidth: w, clientHeight: h } = this.p.host;
    const taken: Area[] = [...this.p.written(), ...this.grips.map((g) => ({ x: g.x, y: g.y, w: 15, h: 15 })), { x: w / 2, y: this.strip!.y, w, h: 16 * letter }];
    ctx.textAlign = 'left';
    for (const { grip: [x, y], label, below } of words) {
      const at = spotNear({ x, y }, ctx.measureText(label).width + 10, 18 * letter, below, taken, { w, h });
      taken.push(at);
      ctx.fillStyle = '#0d0f11e0';
      ctx.fillRect(at.x - at.w / 2, at.y - at.h / 2, at.w, at.h);
      ctx.fillStyle = '#eef6f8';
      ctx.fillText(label, at.x - at.w / 2 + 5, at.y);
    }
  }

  // drawTime draws the time strip at the foot of the picture, below the field where that can be.
  private drawTime(ctx: CanvasRenderingContext2D, f: Field, body: Stroke['body'], knob: (what: Grip['what'], at: [number, number], f: Field) => void) {
    const { letter } = this.p.scene;
    const { clientWidth, clientHeight } = this.p.host;
    this.strip = stripOf(body, this.stroke!.totalMs, clientHeight - 14 * letter);
    const says = saysOf(this.strip);
    const label = ctx.measureText(says).width;
    this.strip.wide = Math.max(60, Math.min(Math.max(150 * letter, 2 * f.half), clientWidth - label - 50));
    this.strip.left = Math.min(Math.max(f.x - this.strip.wide / 2, 14), clientWidth - this.strip.wide - label - 30);
    drawStrip(ctx, this.strip, says, letter);
    for (const [what, x, y] of gripsOf(this.strip)) knob(what, [x, y], f);
  }

  // drawRound shows which way a stroke goes round, as it is seen: on an RH lamp clockwise is mirrored.
  private drawRound(f: Field, clockwise: boolean, line: (points: [number, number][]) => void) {
    const r = Math.max(16, Math.min(f.half, f.across));
    const turn = (a: number): [number, number] => [f.x + r * Math.sin(clockwise ? a : -a), f.y - r * Math.cos(a)];
    line(Array.from({ length: 25 }, (_, i) => turn((i / 24) * 5)));
    const [x, y] = turn(5);
    const forward = Math.atan2(y - turn(4.9)[1], x - turn(4.9)[0]);
    line([-1, 1].flatMap((s): [number, number][] => [[x - 10 * Math.cos(forward + s * 0.6), y - 10 * Math.sin(forward + s * 0.6)], [x, y]]));
  }

  // drawPaths shows the light path along which the stroke goes, from its beginning, a ring, to its end, an arrow.
  private drawPaths(ctx: CanvasRenderingContext2D, name: string, backwards: boolean) {
    for (const part of this.stroke!.parts) {
      const placed = this.p.placed(part.lamp.name);
      const path = part.lamp.paths.find((q) => q.name === name);
      if (!placed || !path) continue;
      const points = path.points.map(([x, y]) => this.p.screen(placed, x, y));
      if (backwards) points.reverse();
      const [bx, by] = points.at(-1)!;
      const [ax, ay] = points.at(-2) ?? [bx, by];
      const turn = Math.atan2(by - ay, bx - ax);
      for (const [width, colour] of [[5, '#000a'], [2, '#7fbccb']] as const) {
        ctx.beginPath();
        points.forEach(([x, y], n) => (n === 0 ? ctx.moveTo(x, y) : ctx.lineTo(x, y)));
        for (const side of [-1, 1]) {
          ctx.moveTo(bx, by);
          ctx.lineTo(bx - 11 * Math.cos(turn + side * 0.5), by - 11 * Math.sin(turn + side * 0.5));
        }
        ctx.moveTo(points[0]![0] + 5, points[0]![1]);
        ctx.arc(points[0]![0], points[0]![1], 5, 0, 7);
        ctx.lineWidth = width;
        ctx.strokeStyle = colour;
        ctx.stroke();
      }
    }
  }
}
