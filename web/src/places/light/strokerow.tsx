// One stroke: its name, and its bar on the ruler, which can be moved and made longer. Until it is let go the change is only seen.

import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { problemsAt, under } from '../../engine/tree';
import { moveAt, removeAt } from '../../inspector/change';
import type { Job } from '../../engine/types';
import { time } from '../../engine/units';
import { path, store } from '../../ui/state';
import { many } from '../../ui/words';
import { draft, make, type Edit } from './state';
import { strokePath, type Bar } from './strokes';

const grid = 10; // ms, to which drags snap; Alt leaves it
const settleMs = 600; // after the last key, moves by keys become one step

// barKeys is the id of the words that tell how a bar is moved by keys.
export const barKeys = 'stroke-keys';

interface Drag {
  start: number;
  length: number;
}

export function StrokeRow({ job, routine, bar, total, count }: { job: Job; routine: string; bar: Bar; total: number; count: number }) {
  const drag = useSignal<Drag | null>(null);
  const lane = useRef<HTMLDivElement>(null);
  const timer = useRef(0);
  const keyed = useRef(false); // keys have moved it since the last step, which a new revision does not take back
  const p = strokePath(routine, bar);
  const chosen = under(path.value, p);
  const bad = problemsAt(job, p).length;
  const at = drag.value ?? { start: bar.start, length: bar.length };

  useEffect(() => {
    if (!keyed.current) drag.value = null;
  }, [job.revision]);

  const editsOf = (d: Drag): Edit[] => {
    const body = [...p, bar.kind];
    const edits: Edit[] = [];
    if (d.start !== bar.start) edits.push({ op: 'set', path: [...body, 'start'], value: time(d.start) });
    if (d.length !== bar.length) edits.push({ op: 'set', path: [...body, 'for'], value: time(d.length) });
    return edits;
  };
  const show = (d: Drag | null) => {
    drag.value = d;
    draft.value = d && editsOf(d).length > 0 ? editsOf(d) : null;
  };
  const drop = () => {
    clearTimeout(timer.current);
    keyed.current = false;
    show(null);
  };
  const commit = async () => {
    clearTimeout(timer.current);
    keyed.current = false;
    const d = drag.peek();
    if (!d) return;
    const edits = editsOf(d);
    if (edits.length === 0) show(null);
    else await make(`time of ${bar.kind} in ${routine}`, edits);
    if (drag.peek() === d) drag.value = null;
    else if (keyed.current) show(drag.peek()); // moved on meanwhile
  };

  const latest = useRef(commit); // knows the stroke as it is by then
  latest.current = commit;

  const grab = (e: PointerEvent, edge: boolean) => {
    if (e.button !== 0) return;
    e.stopPropagation();
    path.value = p;
    const el = e.currentTarget as HTMLElement;
    el.setPointerCapture(e.pointerId);
    const scale = total / lane.current!.getBoundingClientRect().width;
    const from = e.clientX;
    const begun = { start: bar.start, length: bar.length };
    const move = (m: PointerEvent) => {
      const dx = (m.clientX - from) * scale;
      const snap = (ms: number) => (m.altKey ? Math.round(ms) : Math.round(ms / grid) * grid);
      if (Math.abs(m.clientX - from) < 3 && !drag.peek()) return;
      show(edge ? { start: begun.start, length: Math.max(grid, snap(begun.length + dx)) } : { start: Math.max(0, snap(begun.start + dx)), length: begun.length });
    };
    const end = (u: PointerEvent) => {
      el.removeEventListener('pointermove', move);
      el.removeEventListener('pointerup', end);
      el.removeEventListener('pointercancel', end);
      if (u.type === 'pointercancel') show(null);
      else void commit();
    };
    el.addEventListener('pointermove', move);
    el.addEventListener('pointerup', end);
    el.addEventListener('pointercancel', end);
  };

  const key = (e: KeyboardEvent) => {
    const by = e.shiftKey ? 100 : grid;
    const way = e.key === 'ArrowRight' ? 1 : e.key === 'ArrowLeft' ? -1 : 0;
    const list = p.slice(0, -1);
    const to = bar.index + (e.key === 'ArrowDown' ? 1 : -1);
    if (e.key === 'Escape' && drag.peek()) drop();
    else if (e.key === 'Delete' && count > 1) {
      drop(); // else it would soon change the stroke that comes in this one's place
      void removeAt(p).then((bad) => !bad && (path.value = ['routines', routine]));
    } else if (e.altKey && (e.key === 'ArrowUp' || e.key === 'ArrowDown') && to >= 0 && to < count) {
      const moved = drag.peek() && !store.busy ? commit().then(() => moveAt(list, bar.index, to)) : moveAt(list, bar.index, to);
      void moved.then((bad) => !bad && (path.value = [...list, String(to)]));
    } else if (way !== 0) {
      const now = drag.peek() ?? { start: bar.start, length: bar.length };
      keyed.current = true;
      show(e.altKey ? { ...now, length: Math.max(grid, now.length + way * by) } : { ...now, start: Math.max(0, now.start + way * by) });
      clearTimeout(timer.current);
      timer.current = window.setTimeout(() => void latest.current(), settleMs);
    } else return;
    e.preventDefault();
    e.stopPropagation();
  };

  const runs = Array.from({ length: Math.min(bar.times, 200) }, (_, i) => i);
  const says = `${bar.kind} ${bar.on}, from ${time(at.start)} for ${time(at.length)}${bar.times > 1 ? `, ${many(bar.times, 'time')}` : ''}`;
  return (
    <li class={`stroke ${chosen ? 'chosen' : ''}`}>
      <button class="stroke-name" aria-pressed={chosen} onClick={() => (path.value = p)} title={says} onKeyDown={(e) => (e.altKey || e.key === 'Delete') && key(e)}>
        <b>
          {bar.index + 1} {bar.kind}
        </b>
        <span class="faint">{bar.on || 'all of it'}</span>
        {bad > 0 && <span class="tag caution">{bad}</span>}
      </button>
      <span class="visually-hidden" role="status">
        {drag.value && `from ${time(at.start)} for ${time(at.length)}`}
      </span>
      <div class="stroke-lane" ref={lane} data-stroke={bar.kind}>
        {runs.map((i) => (
          <div
            class={`stroke-bar ${bar.open ? 'open' : ''} ${i > 0 ? 'again' : ''}`}
            style={{ left: `${((at.start + i * (bar.every === bar.length ? at.length : bar.every)) / total) * 100}%`, width: `${(at.length / total) * 100}%` }}
            {...(i === 0 ? { tabIndex: 0, role: 'button', 'aria-label': says, 'aria-describedby': barKeys, onKeyDown: key, onBlur: () => void commit() } : { 'aria-hidden': true })}
            onPointerDown={(e) => grab(e, false)}
          >
            {i === 0 && <span class="stroke-bar-says">{drag.value ? `${time(at.start)} + ${time(at.length)}` : `${bar.kind} ${bar.on}`}</span>}
            {i === 0 && <span class="stroke-end" onPointerDown={(e) => grab(e, true)} />}
          </div>
        ))}
      </div>
    </li>
  );
}
