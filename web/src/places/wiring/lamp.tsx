// The lamp of the module: every group with its number, to be pointed at, clicked and dragged.

import { useEffect, useMemo, useRef } from 'preact/hooks';
import type { Picture } from '../../picture/picture';
import { CarPicture } from '../../picture/view';
import { grab, lampAt, type Held, type Target } from './drag';
import { draw, layOut, type Callout, type Label, type Tag } from './labels';
import { nameOf, outputOf, type Wiring } from './map';

interface Props {
  w: Wiring;
  tags: Tag[]; // of each group
  light: number[]; // level of each group, 0..255
  callouts: Callout[];
  over: (group: number | null) => void;
  pick: (group: number | null, keys: boolean) => void;
  drop?: (held: Held, over: Target) => void; // absent: nothing is dragged
  says: (group: number) => string;
  children?: preact.ComponentChildren;
}

export function LampPicture({ w, tags, light, callouts, over, pick, drop, says, children }: Props) {
  const picture = useRef<Picture | null>(null);
  const laid = useRef<{ key: unknown[]; labels: Label[] }>({ key: [], labels: [] });
  const now = useRef({ w, tags, callouts });
  now.current = { w, tags, callouts };

  const ready = (p: Picture) => {
    picture.current = p;
    p.overlay = (ctx, it) => {
      const { w, tags, callouts } = now.current;
      const key = [it.scene, tags, ...(it.scene.lamps[0] ? it.screen(it.scene.lamps[0], 0, 0) : [])];
      if (key.some((k, i) => k !== laid.current.key[i])) laid.current = { key, labels: layOut(ctx, it, w.lamp.name, tags) };
      draw(ctx, it, w.lamp.name, tags, callouts, laid.current.labels);
    };
    p.finder = (x, y) => {
      const l = laid.current.labels.find((l) => Math.abs(x - l.x) <= l.w / 2 + 2 && Math.abs(y - l.y) <= l.h / 2 + 2);
      const placed = p.scene.lamps[0];
      return l && placed ? { lamp: placed.lamp, index: placed.index, group: l.group, led: placed.lamp.leds.findIndex((d) => d[2] === l.group) } : null;
    };
    lampAt.find = (x, y) => {
      const box = p.host.getBoundingClientRect();
      return p.hit(x - box.left, y - box.top, 20)?.group ?? null;
    };
  };
  useEffect(() => () => void (lampAt.find = null), []);
  useEffect(() => picture.current?.redraw(), [w, tags, callouts]);

  const lamps = useMemo(() => [w.lamp], [w.lamp]);
  const levels = useMemo(() => ({ levels: Uint8Array.from(light), first: new Map([[w.lamp.name, 0]]) }), [w.lamp.name, light.join()]);
  const marks = useMemo(() => callouts.map((c) => ({ lamp: w.lamp.name, group: c.group })), [w.lamp.name, callouts]);

  // A press on a group is a click or the beginning of a drag; a press beside the groups is the picture's own.
  const down = (e: PointerEvent) => {
    const host = (e.target as HTMLElement).closest('.picture-host');
    if (!drop || !host || e.button !== 0 || !e.isPrimary) return;
    const box = host.getBoundingClientRect();
    const hit = picture.current!.hit(e.clientX - box.left, e.clientY - box.top, e.pointerType === 'touch' ? 28 : 16);
    if (!hit) return;
    e.stopPropagation();
    const group = hit.group;
    const held: Held = { group, output: outputOf(w, group) || null, says: nameOf(w, group) };
    grab(e, held, (target) => drop(held, target), (u) => pick(group, u.pointerType !== 'touch'));
  };

  return (
    <div class="wiring-lamp" onPointerDownCapture={down}>
      <CarPicture
        lamps={lamps}
        levels={levels}
        marks={marks}
        ready={ready}
        over={(hit) => over(hit?.group ?? null)}
        pick={(hit, e) => pick(hit?.group ?? null, e.type === 'keydown')}
        says={(hit) => says(hit.group)}
      >
        {children}
      </CarPicture>
    </div>
  );
}
