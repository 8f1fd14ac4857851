// The picture of the car: one canvas for what stands still and the light on it, one above for marks and handles.
// It draws when it is told to and never on its own; a place that plays calls show once a frame.

import type { Lamp } from '../engine/types';
import { drawBase, greys, x, y } from './base';
import { aim, stamp, type Field } from './fields';
import { stepOf } from './ink';
import { arrange, type Area, type Placed, type Scene } from './scene';

export interface Hit {
  lamp: Lamp;
  index: number; // of the lamp in the list
  group: number;
  led: number;
}

export interface Mark {
  lamp: string;
  group: number;
}

const mostRing = 22; // dots, of the ring round a chosen LED at letters of normal size

export class Picture {
  readonly light = document.createElement('canvas');
  readonly over = document.createElement('canvas');
  scene: Scene = arrange([], { width: 1, height: 1, letter: 1 });
  names = true;
  foot = 0; // dots at letters of normal size that a place keeps free below the lamps, for what it draws there
  // overlay draws on top of everything, in dots of the page; a place sets it for its handles.
  overlay: ((ctx: CanvasRenderingContext2D, picture: Picture) => void) | null = null;
  // finder says what is hit before the LEDs do, where a place draws labels of its own.
  finder: ((px: number, py: number) => Hit | null) | null = null;

  private base = document.createElement('canvas');
  private lamps: Lamp[] = [];
  private fields: Field[] = [];
  private stale = true; // nothing on the canvas can be kept
  private levels: Uint8Array | null = null;
  private first = new Map<string, number>();
  private step = stepOf(false);
  private marks: Mark[] = [];
  private width = 0;
  private height = 0;
  private dots = 1; // device dots a dot of the page
  private letter = 1; // size of letters, 1 is normal
  private zoomed = 1;
  private panX = 0;
  private panY = 0;
  private seen: ResizeObserver;

  constructor(readonly host: HTMLElement) {
    this.light.className = 'picture-light';
    this.over.className = 'picture-over';
    host.append(this.light, this.over);
    this.seen = new ResizeObserver(() => this.resize());
    this.seen.observe(host);
    void document.fonts?.ready.then(() => this.layOut());
    this.resize();
  }

  end() {
    this.seen.disconnect();
    this.light.remove();
    this.over.remove();
  }

  // setLamps says what is drawn.
  setLamps(lamps: Lamp[]) {
    if (lamps === this.lamps) return;
    this.lamps = lamps;
    this.layOut();
  }

  // show draws light: the levels of all groups, and each lamp's first group in them. Null is dark.
  show(levels: Uint8Array | null, first: Map<string, number>) {
    if (first !== this.first) {
      this.first = first;
      this.aim();
    }
    this.levels = levels;
    this.paint();
  }

  setRaised(raised: boolean) {
    this.step = stepOf(raised);
    this.stale = true;
    this.paint();
  }

  // setMarks rings groups, such as those chosen.
  setMarks(marks: Mark[]) {
    this.marks = marks;
    this.paintOver();
  }

  // redraw draws the upper canvas anew, after an overlay's own state has changed.
  redraw() {
    this.paintOver();
  }

  // screen gives the place of a lamp's millimetres in dots of the page, from the picture's upper left corner.
  screen(p: Placed, mx: number, my: number): [number, number] {
    return [x(this.scene, p, mx) + this.panX, y(this.scene, p, my) + this.panY];
  }

  // mm is the inverse of screen.
  mm(p: Placed, px: number, py: number): [number, number] {
    const v = p.view;
    return [(px - this.panX - v.left) / this.scene.scale + v.box.x0 - p.dx, v.box.y1 - (py - this.panY - v.top) / this.scene.scale - p.dy];
  }

  // written gives where letters stand in the picture, in dots of the page.
  written(): Area[] {
    return this.scene.written.map((a) => ({ ...a, x: a.x + this.panX, y: a.y + this.panY }));
  }

  placed(lamp: string): Placed | undefined {
    return this.scene.lamps.find((p) => p.lamp.name === lamp);
  }

  // hit gives the LED nearest to a place in the picture, within reach dots.
  hit(px: number, py: number, reach = 14): Hit | null {
    let best = this.finder?.(px, py) ?? null;
    if (best) return best;
    let least = reach;
    for (const p of this.scene.lamps) {
      const [mx, my] = this.mm(p, px, py);
      for (let i = 0; i < p.lamp.leds.length; i++) {
        const [lx, ly, g] = p.lamp.leds[i]!;
        const d = Math.hypot(lx - mx, ly - my) * this.scene.scale;
        if (d < least) {
          least = d;
          best = { lamp: p.lamp, index: p.index, group: g, led: i };
        }
      }
    }
    return best;
  }

  // lampAt gives the lamp whose face is under a place in the picture.
  lampAt(px: number, py: number): Placed | null {
    return (
      this.scene.lamps.find((p) => {
        const [mx, my] = this.mm(p, px, py);
        return mx + p.dx >= p.box.x0 && mx + p.dx <= p.box.x1 && my + p.dy >= p.box.y0 && my + p.dy <= p.box.y1;
      }) ?? null
    );
  }

  get zoom() {
    return this.zoomed;
  }

  // zoomAt makes everything larger or smaller about a point that stays where it is.
  zoomAt(factor: number, px = this.width / 2, py = this.height / 2) {
    const next = Math.min(40, Math.max(1, this.zoomed * factor));
    const about = this.lampAt(px, py) ?? this.scene.lamps[0];
    const held = about && this.mm(about, px, py);
    this.zoomed = next;
    this.layOut(false);
    const now = about && this.placed(about.lamp.name);
    if (next === 1 || !now || !held) this.panX = this.panY = 0;
    else {
      const [sx, sy] = this.screen(now, held[0], held[1]);
      this.panX += px - sx;
      this.panY += py - sy;
    }
    this.repaint();
  }

  pan(dx: number, dy: number) {
    if (this.zoomed === 1) return;
    this.panX += dx;
    this.panY += dy;
    this.repaint();
  }

  // whole shows all of the car again.
  whole() {
    this.zoomed = 1;
    this.panX = this.panY = 0;
    this.layOut();
  }

  // closeUp fills the picture with one lamp.
  closeUp(lamp: string) {
    this.zoomed = 1;
    this.panX = this.panY = 0;
    this.layOut(false);
    const p = this.placed(lamp);
    if (!p) return this.layOut();
    const w = (p.box.x1 - p.box.x0) * this.scene.scale;
    const h = (p.box.y1 - p.box.y0) * this.scene.scale;
    this.zoomed = Math.min(40, Math.max(1, Math.min((this.width - 60) / Math.max(w, 1), (this.height - 90) / Math.max(h, 1))));
    this.layOut(false);
    const q = this.placed(lamp)!;
    const [sx, sy] = this.screen(q, (q.box.x0 + q.box.x1) / 2 - q.dx, (q.box.y0 + q.box.y1) / 2 - q.dy);
    this.panX += this.width / 2 - sx;
    this.panY += this.height / 2 - sy;
    this.repaint();
  }

  private resize() {
    const box = this.host.getBoundingClientRect();
    this.width = Math.max(1, Math.round(box.width));
    this.height = Math.max(1, Math.round(box.height));
    this.letter = parseFloat(getComputedStyle(document.documentElement).fontSize) / 16;
    this.dots = Math.min(2, window.devicePixelRatio || 1);
    for (const c of [this.light, this.over, this.base]) {
      c.width = Math.round(this.width * this.dots);
      c.height = Math.round(this.height * this.dots);
    }
    this.layOut();
  }

  private layOut(draw = true) {
    this.scene = arrange(this.lamps, { width: this.width * this.zoomed, height: Math.max(1, this.height - this.foot * this.letter) * this.zoomed, letter: this.letter });
    if (draw) this.repaint();
  }

  private repaint() {
    const ctx = this.base.getContext('2d', { alpha: false })!;
    ctx.setTransform(1, 0, 0, 1, 0, 0);
    ctx.fillStyle = greys.ground;
    ctx.fillRect(0, 0, this.base.width, this.base.height);
    ctx.setTransform(this.dots, 0, 0, this.dots, this.panX * this.dots, this.panY * this.dots);
    drawBase(ctx, this.scene, this.names);
    this.aim();
    this.paint();
    this.paintOver();
  }

  private aim() {
    this.fields = aim(this, this.first, this.dots, this.light.width, this.light.height);
    this.stale = true;
  }

  private paint() {
    const ctx = this.light.getContext('2d', { alpha: false })!;
    if (this.stale) {
      ctx.globalCompositeOperation = 'copy';
      ctx.drawImage(this.base, 0, 0);
    }
    stamp(ctx, this.base, this.fields, this.levels, this.step, this.stale);
    this.stale = false;
  }

  private paintOver() {
    const ctx = this.over.getContext('2d')!;
    ctx.setTransform(1, 0, 0, 1, 0, 0);
    ctx.clearRect(0, 0, this.over.width, this.over.height);
    ctx.setTransform(this.dots, 0, 0, this.dots, 0, 0);
    for (const m of this.marks) {
      const p = this.placed(m.lamp);
      if (!p) continue;
      const r = Math.max(3, Math.min(mostRing * this.letter, p.pitch * this.scene.scale * 0.5));
      ctx.beginPath();
      for (const [lx, ly, g] of p.lamp.leds) {
        if (g !== m.group) continue;
        const [sx, sy] = this.screen(p, lx, ly);
        ctx.moveTo(sx + r, sy);
        ctx.arc(sx, sy, r, 0, 7);
      }
      ctx.lineWidth = 3.5;
      ctx.strokeStyle = '#000c';
      ctx.stroke();
      ctx.lineWidth = 1.5;
      ctx.strokeStyle = '#fff';
      ctx.stroke();
    }
    this.overlay?.(ctx, this);
  }
}
