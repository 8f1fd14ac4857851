// Pointer on the sheet: draw with the tool, or choose, move and change what is there; come nearer and move about.

import { batch } from '@preact/signals';
import { apply, inverse } from '../../engine/homography';
import type { Point } from '../../engine/types';
import { job } from '../../ui/state';
import { settle, shift } from './acts';
import { itemOf, type Drawing, type Item } from './drawing';
import { framed } from './frame';
import { dragged, handlesOf, type Handle } from './handles';
import { handleAt, indexAt, ledAt, lineAt } from './hit';
import { finish, make } from './make';
import { enter, map, mark, marking, marks, spotPoints } from './photo';
import { needs } from './shapes';
import { change, choose, chosen, corner, drawing, frame, grid, held, hover, letGo, moving, options, points, raw, tab, tool } from './state';
import { snap, type Snap } from './snap';
import { distance } from './unroll';
import { millimetre, zoomed, type View } from './view';

export interface Board {
  host: HTMLElement;
  view: () => View;
  look: (v: View) => void;
  under: (led: number) => void; // LED that is pointed at, -1 for none
}

const slop = 5; // dots that a click may wander
const reach = { mouse: 11, touch: 24 }; // dots

type Drag =
  | { kind: 'pan'; x: number; y: number }
  | { kind: 'frame'; a: Point; add: boolean }
  | { kind: 'move'; from: Point; anchor: Point; item: Item | null; was: boolean; add: boolean }
  | { kind: 'handle'; handle: Handle; item: Item }
  | { kind: 'draw'; begun: boolean }
  | { kind: 'mark'; index: number }
  | { kind: 'none' };

export function attach(b: Board): () => void {
  const el = b.host;
  const down = new Map<number, Point>(); // dots
  let drag: Drag = { kind: 'none' };
  let start: Point = [0, 0]; // dots
  let moved = false;

  const dots = (e: PointerEvent | WheelEvent): Point => {
    const box = el.getBoundingClientRect();
    return [e.clientX - box.left, e.clientY - box.top];
  };
  const near = (e: PointerEvent) => (e.pointerType === 'touch' ? reach.touch : reach.mouse) / b.view().scale;
  const at = (e: PointerEvent): Point => millimetre(b.view(), dots(e));

  const pointerdown = (e: PointerEvent) => {
    const d = drawing.peek();
    el.setPointerCapture(e.pointerId);
    down.set(e.pointerId, dots(e));
    if (down.size > 1) {
      letGo();
      drag = { kind: 'none' }; // two fingers move the sheet
      return;
    }
    start = dots(e);
    moved = false;
    if (!d || e.button === 1 || e.button === 2 || el.dataset.hand) {
      drag = { kind: 'pan', x: start[0], y: start[1] };
      return;
    }
    drag = begin(e, d);
  };

  const begin = (e: PointerEvent, d: Drawing): Drag => {
    const p = at(e);
    const add = e.shiftKey || e.ctrlKey || e.metaKey;
    if (tool.peek() !== 'choose') {
      if (d.hand || !d.current) return { kind: 'none' };
      const to = snapped(p, e).to;
      const list = points.peek();
      const first = list[0];
      const t = tool.peek();
      if (t === 'outline' && list.length > 2 && first && distance(first, to) <= near(e)) return finish(), { kind: 'none' };
      points.value = [...list, to];
      return { kind: 'draw', begun: true };
    }
    if (tab.peek() === 'photo') {
      const m = map.peek();
      const i = m ? indexAt(marks.peek().map((k) => apply(m, k.pixel)), p, near(e)) : -1;
      if (i >= 0) return { kind: 'mark', index: i };
      if (marking.peek()) return { kind: 'none' };
      return { kind: 'frame', a: p, add };
    }
    if (tab.peek() === 'groups') return { kind: 'frame', a: p, add };
    if (chosen.peek().length === 1 && !d.hand) {
      const item = chosen.peek()[0]!;
      const handle = handleAt(handlesOf(job.peek()?.tree ?? null, d, item), p, near(e));
      if (handle) {
        held.value = handle;
        return { kind: 'handle', handle, item };
      }
    }
    const led = ledAt(d, p, near(e));
    const pattern = led >= 0 ? d.of[led] : undefined;
    const item = pattern ? itemOf(pattern) : lineAt(d, p, near(e) * 0.6);
    if (!item) return { kind: 'frame', a: p, add };
    const was = chosen.peek().includes(item);
    if (!was) choose(add ? [...chosen.peek(), item] : [item]);
    else corner.value = null;
    const anchor: Point = led >= 0 ? [d.lamp.leds[led]![0], d.lamp.leds[led]![1]] : p;
    return { kind: 'move', from: p, anchor, item, was, add };
  };

  const pointermove = (e: PointerEvent) => {
    const now = dots(e);
    const before = down.get(e.pointerId);
    raw.value = at(e);
    if (!before) return point(e);
    if (down.size === 2) {
      const other = [...down].find(([id]) => id !== e.pointerId)![1];
      const [was, is] = [distance(before, other), distance(now, other)];
      let v = b.view();
      if (was > 0) v = zoomed(v, is / was, [(now[0] + other[0]) / 2, (now[1] + other[1]) / 2]);
      b.look({ ...v, x: v.x + (now[0] - before[0]) / 2, y: v.y + (now[1] - before[1]) / 2 });
      down.set(e.pointerId, now);
      return;
    }
    if (!moved && distance(start, now) < slop) return;
    moved = true;
    if (drag.kind === 'pan') b.look({ ...b.view(), x: b.view().x + now[0] - before[0], y: b.view().y + now[1] - before[1] });
    else goOn(e);
    down.set(e.pointerId, now);
  };

  // goOn works out what a drag does, for the document as it is now.
  const goOn = (e: PointerEvent) => {
    const d = drawing.peek();
    const p = at(e);
    switch (drag.kind) {
      case 'frame':
        frame.value = { a: drag.a, b: p };
        break;
      case 'move': {
        if (!d || d.hand) break;
        const to = snapped([drag.anchor[0] + p[0] - drag.from[0], drag.anchor[1] + p[1] - drag.from[1]], e, new Set(chosen.peek()));
        hover.value = to;
        moving.value = [to.to[0] - drag.anchor[0], to.to[1] - drag.anchor[1]];
        break;
      }
      case 'handle': {
        if (!d) break;
        const to = snapped(p, e, new Set([drag.item]));
        hover.value = to;
        change.value = dragged(job.peek()?.tree ?? null, d, drag.item, drag.handle, to.to);
        break;
      }
      case 'draw': {
        const to = snapped(p, e);
        hover.value = to;
        const need = needs[tool.peek()];
        if (need === 1 || need === Infinity || points.peek().length > 1) points.value = [...points.peek().slice(0, -1), to.to];
        break;
      }
      case 'mark': {
        const m = map.peek() && inverse(map.peek()!);
        if (!m) break;
        const index = drag.index;
        const pixel = apply(m, p);
        marks.value = marks.peek().map((k, i) => (i === index ? { ...k, pixel: [Math.max(0, pixel[0]), Math.max(0, pixel[1])] } : k));
        break;
      }
    }
  };

  const point = (e: PointerEvent) => {
    const d = drawing.peek();
    if (!d) return;
    const p = at(e);
    b.under(ledAt(d, p, near(e)));
    hover.value = tool.peek() === 'choose' ? null : snapped(p, e);
  };

  const pointerup = (e: PointerEvent) => {
    const only = down.size === 1;
    if (!down.delete(e.pointerId)) return;
    const d = drawing.peek();
    if (only && moved && e.type !== 'pointercancel') goOn(e); // a step made meanwhile may have changed what is under the hand
    const done = drag;
    drag = { kind: 'none' };
    if (!only || !d || e.type === 'pointercancel') return letGo();
    const p = at(e);
    switch (done.kind) {
      case 'frame':
        framed(d, done, moved ? p : null, near(e));
        break;
      case 'move':
        if (moved && moving.peek()) void shift(moving.peek()!).finally(letGo);
        else if (done.add && done.was) choose(chosen.peek().filter((i) => i !== done.item));
        else if (!done.add && done.was && chosen.peek().length > 1) choose([done.item!]);
        break;
      case 'handle':
        held.value = null;
        if (change.peek()) void settle(change.peek()!).finally(letGo);
        else corner.value = done.handle.corner ?? null;
        break;
      case 'draw':
        drawn(snapped(p, e).to);
        break;
      case 'mark':
        void enter(marks.peek());
        break;
      case 'none':
        if (tab.peek() === 'photo' && marking.peek() && !moved) {
          const m = map.peek() && inverse(map.peek()!);
          const pixel = m && apply(m, p);
          if (pixel && pixel[0] >= 0 && pixel[1] >= 0) mark(pixel);
        }
        break;
    }
    if (done.kind !== 'move' && done.kind !== 'handle') frame.value = null;
    if (tool.peek() === 'choose') hover.value = null;
  };

  // drawn goes on after a click or drag with a tool: with enough points the thing is made.
  const drawn = (to: Point) => {
    const t = tool.peek();
    const need = needs[t];
    const list = points.peek();
    if (need === 2 || need === 3) {
      if (moved && list.length === 1) points.value = [...list, to];
      if (points.peek().length >= need) make();
    } else if (need === 1) make();
  };

  // snapped brings a point to what is near, unless Alt is held; what is being moved itself does not count.
  const snapped = (p: Point, e: PointerEvent, without: ReadonlySet<Item> = new Set()): Snap => {
    if (e.altKey) return { to: p, on: '', guides: [] };
    const d = drawing.peek();
    const o = options.peek();
    const field: { at: Point; what: 'LED' | 'spot' | 'corner' }[] = [];
    if (o.snapLEDs && d) {
      d.lamp.leds.forEach((l, i) => {
        const own = d.of[i];
        if (!own || !without.has(itemOf(own))) field.push({ at: [l[0], l[1]], what: 'LED' });
      });
      if (!without.has('outline')) for (const c of d.lamp.outline) field.push({ at: c, what: 'corner' });
      for (const q of points.peek().slice(0, -1)) field.push({ at: q, what: 'corner' });
    }
    if (o.snapSpots) for (const s of spotPoints.peek()) field.push({ at: s.at, what: 'spot' });
    const to = snap(p, { points: field, grid: grid.peek().mm, reach: 9 / b.view().scale });
    const first = points.peek()[0];
    if (first && (tool.peek() === 'row' || tool.peek() === 'column')) return { ...to, to: tool.peek() === 'row' ? [to.to[0], first[1]] : [first[0], to.to[1]] };
    return to;
  };

  const leave = () => {
    b.under(-1);
    raw.value = null;
    if (down.size === 0) hover.value = null;
  };
  const wheel = (e: WheelEvent) => {
    e.preventDefault();
    b.look(zoomed(b.view(), Math.exp(-e.deltaY * (e.deltaMode === 1 ? 0.05 : 0.0016)), dots(e)));
  };
  const double = () => {
    if (needs[tool.peek()] === Infinity) finish();
  };
  const menu = (e: Event) => e.preventDefault();
  const all: [string, (e: never) => void, AddEventListenerOptions?][] = [
    ['pointerdown', pointerdown], ['pointermove', pointermove], ['pointerup', pointerup], ['pointercancel', pointerup], ['pointerleave', leave],
    ['wheel', wheel, { passive: false }], ['dblclick', double], ['contextmenu', menu],
  ];
  const once = all.map(([name, f, o]) => [name, (e: Event) => batch(() => f(e as never)), o] as const); // drawn once for all that it changes
  for (const [name, f, o] of once) el.addEventListener(name, f, o);
  return () => {
    for (const [name, f] of once) el.removeEventListener(name, f);
  };
}
