// The sheet as a view: the photo, the drawing over it, and what is being done over that.

import { effect, signal, useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { after, apply, css } from '../../engine/homography';
import type { Point } from '../../engine/types';
import { catalogue } from '../../ui/catalogue';
import { job } from '../../ui/state';
import { many } from '../../ui/words';
import { handlesOf } from './handles';
import { attach } from './gestures';
import { drawOver } from './over';
import { bring, file, hidden, map, marks, photo, placed, sizes, spotPoints, spotsChosen } from './photo';
import { drawRulers, drawSheet, ruler, type Sheet } from './sheet';
import { change, chosen, chosenGroups, colourOf, corner, drawing, frame, grid, hover, lampName, moving, options, part, points, raw, tab, tool } from './state';
import { boundsOf, fitted, mapOfView, zoomed, type View } from './view';

// view is where the sheet is looked at; it is kept for each lamp while the page is open.
export const view = signal<View | null>(null);
export const panned = signal(false); // the space bar is held: a drag moves the sheet
let viewOf = '';
let placedOf = '';
let untouched = true; // nobody has moved the view since it showed the whole lamp

const size = signal({ width: 1, height: 1, letter: 1 });

const far = 3000; // mm: a corner of a photo that lies beyond shows no lamp

export function whole() {
  const d = drawing.peek();
  if (!d) return;
  const { width, height, letter } = size.peek();
  const m = map.peek();
  const s = photo.peek() && sizes.peek()[photo.peek()!.file];
  const corners: Point[] = m && s && !hidden.peek() && d.lamp.leds.length === 0 ? ([[0, 0], [s.width, 0], [s.width, s.height], [0, s.height]] as Point[]).map((c) => apply(m, c)).filter((c) => Math.hypot(...c) < far) : [];
  const box = boundsOf([...d.lamp.outline, ...d.lamp.leds.map((l): Point => [l[0], l[1]]), ...d.paths.flatMap((p) => p.points), ...corners]);
  untouched = true;
  view.value = fitted(box, width, height, { left: ruler * letter, top: (ruler + 36) * letter, rest: 24 * letter });
}

const look = (v: View) => {
  untouched = false;
  view.value = v;
};

export const zoom = (factor: number) => {
  if (view.peek()) look(zoomed(view.peek()!, factor, [size.peek().width / 2, size.peek().height / 2]));
};
export const pan = (dx: number, dy: number) => {
  if (view.peek()) look({ ...view.peek()!, x: view.peek()!.x + dx, y: view.peek()!.y + dy });
};

// middle is the middle of what is seen, mm.
export const middle = (): Point => {
  const v = view.peek()!;
  return [(size.peek().width / 2 - v.x) / v.scale, (v.y - size.peek().height / 2) / v.scale];
};

export function Canvas() {
  const host = useRef<HTMLDivElement>(null);
  const base = useRef<HTMLCanvasElement>(null);
  const over = useRef<HTMLCanvasElement>(null);
  const under = useSignal(-1);
  const dropping = useSignal(false);

  useEffect(() => {
    const el = host.current!;
    const dots = Math.min(2, window.devicePixelRatio || 1);
    const resize = () => {
      if (!base.current || !over.current) return; // the place was left meanwhile
      const box = el.getBoundingClientRect();
      const next = { width: Math.max(1, Math.round(box.width)), height: Math.max(1, Math.round(box.height)), letter: parseFloat(getComputedStyle(document.documentElement).fontSize) / 16 };
      for (const c of [base.current, over.current]) {
        c.width = Math.round(next.width * dots);
        c.height = Math.round(next.height * dots);
      }
      const before = size.peek();
      size.value = next;
      const v = view.peek();
      if (!v || untouched) whole();
      else view.value = { ...v, x: v.x + (next.width - before.width) / 2, y: v.y + (next.height - before.height) / 2 };
    };
    const seen = new ResizeObserver(resize);
    seen.observe(el);
    resize();
    const sheet = (): Sheet => ({ view: view.value!, ...size.value });
    const clean = (c: HTMLCanvasElement) => {
      const ctx = c.getContext('2d')!;
      ctx.setTransform(1, 0, 0, 1, 0, 0);
      ctx.clearRect(0, 0, c.width, c.height);
      ctx.setTransform(dots, 0, 0, dots, 0, 0);
      return ctx;
    };
    const stops = [
      effect(() => {
        const d = drawing.value;
        if (!view.value || !d || !base.current) return;
        drawSheet(clean(base.current), sheet(), d, grid.value, options.value.showGroups || tab.value === 'groups', Boolean(file.value) && !hidden.value);
      }),
      effect(() => {
        const d = drawing.value;
        if (!view.value || !d || !over.current) return;
        const ctx = clean(over.current);
        const s = sheet();
        const item = chosen.value.length === 1 ? chosen.value[0]! : null;
        void catalogue.value;
        drawOver(ctx, s, {
          drawing: d,
          chosen: tab.value === 'groups' ? [] : chosen.value,
          groups: tab.value === 'groups' ? chosenGroups.value : null,
          handles: item && tab.value === 'draw' && tool.value === 'choose' && !moving.value ? handlesOf(job.value?.tree ?? null, d, item) : [],
          corner: corner.value,
          under: under.value >= 0 ? { led: under.value } : null,
          moving: moving.value,
          change: change.value,
          frame: frame.value,
          tool: tool.value,
          points: points.value,
          hover: hover.value,
          size: options.value,
          colour: colourOf(change.value ? (d.patterns.find((p) => `leds.${p.index}` === item)?.part ?? '') : part.value),
          spots: tab.value === 'photo' || tool.value === 'led' ? spotPoints.value : [],
          spotsChosen: spotsChosen.value,
          marks: tab.value === 'photo' && map.value ? { list: marks.value, map: map.value } : null,
        });
        drawRulers(ctx, s, d.lamp, grid.value, hover.value?.to ?? raw.value);
      }),
      effect(() => {
        const now = `${job.value?.path} ${lampName.value}`;
        if (now === viewOf) return;
        viewOf = now;
        whole();
      }),
      effect(() => {
        const now = placed.value ? file.value : '';
        if (now && now !== placedOf) whole(); // a photo that has just been placed has another size than before
        placedOf = now;
      }),
      attach({ host: el, view: () => view.peek()!, look, under: (led) => (under.value = led) }),
    ];
    void document.fonts?.ready.then(() => (size.value = { ...size.peek() }));
    return () => {
      seen.disconnect();
      for (const stop of stops) stop();
    };
  }, []);

  const d = drawing.value!;
  return (
    <div
      class={`sheet-host ${tool.value === 'choose' ? '' : 'drawing'} ${dropping.value ? 'dropping' : ''}`}
      ref={host}
      tabIndex={0}
      role="application"
      aria-roledescription="drawing of a lamp"
      aria-label={`${d.lamp.name}: ${d.lamp.place.end} ${d.lamp.place.side}, ${many(d.lamp.leds.length, 'LED')} in ${many(d.lamp.groups.length, 'group')}`}
      aria-describedby="sheet-says"
      data-hand={panned.value || undefined}
      onDragOver={(e) => {
        if (![...(e.dataTransfer?.items ?? [])].some((i) => i.kind === 'file')) return;
        e.preventDefault();
        dropping.value = true;
      }}
      onDragLeave={() => (dropping.value = false)}
      onDrop={(e) => {
        dropping.value = false;
        const picture = e.dataTransfer?.files[0];
        if (!picture) return;
        e.preventDefault();
        tab.value = 'photo';
        void bring(picture);
      }}
    >
      <Underlay />
      <canvas ref={base} />
      <canvas ref={over} />
    </div>
  );
}

// Underlay is the photo, laid under the drawing by its known points.
function Underlay() {
  const name = file.value;
  const m = map.value;
  if (!name || hidden.value) return null;
  const v = view.value;
  return (
    <img
      class="sheet-photo"
      key={name}
      src={`/api/photo/${encodeURIComponent(name)}`}
      alt=""
      draggable={false}
      style={m && v ? { transform: css(after(mapOfView(v), m)), opacity: options.value.opacity } : { visibility: 'hidden' }}
      onLoad={(e) => {
        const { naturalWidth: width, naturalHeight: height } = e.currentTarget;
        const first = !sizes.peek()[name];
        sizes.value = { ...sizes.peek(), [name]: { width, height } };
        if (first && drawing.peek()?.lamp.leds.length === 0) whole();
      }}
      onError={() => (sizes.value = { ...sizes.peek(), [name]: { width: 0, height: 0 } })}
    />
  );
}
