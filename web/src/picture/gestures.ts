// Pointer and keys on a picture: point at a group, pick it, come nearer, move about.

import type { RefObject } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import type { Hit, Picture } from './picture';

interface Hands {
  over: (hit: Hit | null) => void;
  pick: (hit: Hit | null, e: PointerEvent | KeyboardEvent) => void;
}

const slop = 5; // dots that a click may wander

export function useGestures(host: RefObject<HTMLElement | null>, picture: RefObject<Picture | null>, hands: Hands) {
  const latest = useRef(hands).current;
  Object.assign(latest, hands); // the listeners below stay; what they call is always the newest
  useEffect(() => {
    const el = host.current!;
    const down = new Map<number, { x: number; y: number; moved: boolean }>();
    let at: Hit | null = null; // where the keys are
    const place = (e: PointerEvent | WheelEvent): [number, number] => {
      const box = el.getBoundingClientRect();
      return [e.clientX - box.left, e.clientY - box.top];
    };
    const pointerdown = (e: PointerEvent) => {
      const [x, y] = place(e);
      down.set(e.pointerId, { x, y, moved: false });
      el.setPointerCapture(e.pointerId);
    };
    const pointermove = (e: PointerEvent) => {
      const [x, y] = place(e);
      const from = down.get(e.pointerId);
      if (!from) return latest.over(picture.current!.hit(x, y));
      if (!from.moved && Math.hypot(x - from.x, y - from.y) < slop) return;
      if (down.size === 2) {
        const other = [...down].find(([id]) => id !== e.pointerId)![1];
        const before = Math.hypot(from.x - other.x, from.y - other.y);
        const after = Math.hypot(x - other.x, y - other.y);
        if (before > 0) picture.current!.zoomAt(after / before, (x + other.x) / 2, (y + other.y) / 2);
      } else picture.current!.pan(x - from.x, y - from.y);
      down.set(e.pointerId, { x, y, moved: true });
    };
    const pointerup = (e: PointerEvent) => {
      const from = down.get(e.pointerId);
      down.delete(e.pointerId);
      if (!from || from.moved || e.type === 'pointercancel') return;
      at = picture.current!.hit(from.x, from.y, e.pointerType === 'touch' ? 28 : 14);
      latest.over(at);
      latest.pick(at, e);
    };
    const leave = () => latest.over(null);
    const wheel = (e: WheelEvent) => {
      e.preventDefault();
      picture.current!.zoomAt(Math.exp(-e.deltaY * (e.deltaMode === 1 ? 0.05 : 0.0016)), ...place(e));
    };
    const double = (e: MouseEvent) => {
      const box = el.getBoundingClientRect();
      const p = picture.current!.lampAt(e.clientX - box.left, e.clientY - box.top);
      if (p && picture.current!.zoom === 1) picture.current!.closeUp(p.lamp.name);
      else picture.current!.whole();
    };
    const key = (e: KeyboardEvent) => {
      if (e.ctrlKey || e.altKey || e.metaKey) return;
      const p = picture.current!;
      if (e.key === '+' || e.key === '=') p.zoomAt(1.5);
      else if (e.key === '-') p.zoomAt(1 / 1.5);
      else if (e.key === '0') p.whole();
      else if (e.key === 'Enter' && at) latest.pick(at, e);
      else if (e.key.startsWith('Arrow')) {
        at = step(p, at, e.key);
        p.setMarks(at ? [{ lamp: at.lamp.name, group: at.group }] : []);
        latest.over(at);
      } else return;
      e.preventDefault();
    };
    el.addEventListener('pointerdown', pointerdown);
    el.addEventListener('pointermove', pointermove);
    el.addEventListener('pointerup', pointerup);
    el.addEventListener('pointercancel', pointerup);
    el.addEventListener('pointerleave', leave);
    el.addEventListener('wheel', wheel, { passive: false });
    el.addEventListener('dblclick', double);
    el.addEventListener('keydown', key);
    return () => {
      el.removeEventListener('pointerdown', pointerdown);
      el.removeEventListener('pointermove', pointermove);
      el.removeEventListener('pointerup', pointerup);
      el.removeEventListener('pointercancel', pointerup);
      el.removeEventListener('pointerleave', leave);
      el.removeEventListener('wheel', wheel);
      el.removeEventListener('dblclick', double);
      el.removeEventListener('keydown', key);
    };
  }, []);
}

// step goes from group to group (left, right) and from lamp to lamp (up, down).
function step(p: Picture, at: Hit | null, key: string): Hit | null {
  const lamps = p.scene.lamps;
  if (lamps.length === 0) return null;
  let lamp = at ? Math.max(0, lamps.findIndex((l) => l.lamp.name === at.lamp.name)) : 0;
  let group = at?.group ?? 0;
  if (at && key === 'ArrowRight') group++;
  if (at && key === 'ArrowLeft') group--;
  if (at && (key === 'ArrowDown' || key === 'ArrowUp')) {
    lamp = (lamp + (key === 'ArrowDown' ? 1 : lamps.length - 1)) % lamps.length;
    group = 0;
  }
  const to = lamps[lamp]!;
  const n = to.lamp.groups.length;
  group = n > 0 ? (group + n) % n : 0;
  return { lamp: to.lamp, index: to.index, group, led: to.lamp.leds.findIndex((l) => l[2] === group) };
}
