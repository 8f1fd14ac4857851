// The ladder: signals and shows by priority, the first wins. Dragged by the grip or moved by keys; a show stays below every signal.

import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { addAt, freeName, moveAt } from '../../inspector/change';
import { starter } from '../../inspector/starters';
import { bench } from '../../ui/bench';
import { inspect, job, shown, store } from '../../ui/state';
import { Asks, useAsks, type Ask } from './asks';
import { Rung } from './rung';
import { chosen, namesIn } from './state';

export type Section = 'signals' | 'shows';

export function Ladder({ live }: { live: boolean }) {
  const asks = useAsks();
  return (
    <div class="ladder">
      <p id="ladder-keys" class="visually-hidden">
        Enter opens it. Arrow up and down go to its neighbours; with Alt they move it to another priority.
      </p>
      <List section="signals" live={live} asks={asks} title="Signals" says="The first wins: it takes its groups from all below." none="No signal yet. A signal is what the car asks for: stop, turn, tail." />
      <List section="shows" live={live} asks={asks} title="Shows" says="Always below every signal, whatever their order here." none="No show yet. A show is for a parked car, and never above a signal." />
    </div>
  );
}

interface Drag {
  from: number;
  to: number;
  y: number; // how far it is from where it began, dots
  far: boolean; // beyond the end of its own list
}

function List({ section, title, says, none, live, asks }: { section: Section; title: string; says: string; none: string; live: boolean; asks: Ask[] }) {
  const j = job.value!;
  const names = namesIn(j, section);
  const list = useRef<HTMLOListElement>(null);
  const drag = useSignal<Drag | null>(null);
  const start = useRef<{ y: number; middles: number[]; id: number }>({ y: 0, middles: [], id: 0 });
  useEffect(() => {
    drag.value = null; // the job changed meanwhile
  }, [j.revision]);

  const move = async (from: number, to: number) => {
    if (to < 0 || to >= names.length || to === from) return;
    const problems = await moveAt([section], from, to);
    if (problems) store.tell({ problems });
    else queueMicrotask(() => list.current?.querySelectorAll<HTMLElement>('.rung-head')[to]?.focus());
  };
  const add = async () => {
    const taken = [...namesIn(j, 'signals'), ...namesIn(j, 'shows')];
    const name = freeName(taken, section === 'signals' ? 'new-signal' : 'new-show');
    const problems = await addAt([section], { [name]: starter(section, '', name, j) });
    if (problems) return store.tell({ problems });
    chosen.value = name;
  };
  const grip = (from: number) => ({
    onPointerDown: (e: PointerEvent) => {
      if (e.button !== 0) return;
      const rungs = [...list.current!.children].map((c) => c.getBoundingClientRect());
      start.current = { y: e.clientY, middles: rungs.map((r) => (r.top + r.bottom) / 2), id: e.pointerId };
      (e.currentTarget as HTMLElement).setPointerCapture(e.pointerId);
      drag.value = { from, to: from, y: 0, far: false };
      e.preventDefault();
    },
    onPointerMove: (e: PointerEvent) => {
      const d = drag.peek();
      if (!d) return;
      const { y, middles } = start.current;
      let to = 0;
      middles.forEach((m, i) => i !== from && e.clientY > m && to++);
      const edge = list.current!.getBoundingClientRect();
      drag.value = { ...d, to, y: e.clientY - y, far: e.clientY < edge.top - 12 || e.clientY > edge.bottom + 12 };
    },
    onPointerUp: () => {
      const d = drag.peek();
      drag.value = null;
      if (d) void move(d.from, d.to);
    },
    onPointerCancel: () => (drag.value = null),
    onLostPointerCapture: () => (drag.value = null),
  });
  const d = drag.value;
  return (
    <section class="ladder-list" aria-labelledby={`ladder-${section}`} onKeyDown={(e) => e.key === 'Escape' && (drag.value = null)}>
      <div class="ladder-head">
        <h2 id={`ladder-${section}`}>{title}</h2>
        <p class="faint">{says}</p>
      </div>
      {d?.far && <p class="ladder-far">{section === 'shows' ? 'A show never comes above a signal.' : 'A signal never comes below a show.'}</p>}
      <ol ref={list} class={d ? 'dragging' : ''}>
        {names.map((name, i) => (
          <Rung
            key={name || i}
            section={section}
            index={i}
            name={name}
            layer={shown.value?.layers.find((l) => l.name === name)}
            phase={live ? (bench.value?.phases[name] ?? '') : ''}
            grip={grip(i)}
            move={(by) => void move(i, i + by)}
            shift={d ? (d.from === i ? `${d.y}px` : shiftOf(i, d)) : ''}
            held={d?.from === i}
          />
        ))}
      </ol>
      {names.length === 0 && <p class="faint">{none}</p>}
      <Asks section={section} asks={asks} />
      <div class="row ladder-foot">
        {names.length > 0 && (
          <button class="quiet" onClick={() => void add()} title="One more on an input that is answered already, for other groups">
            Another {section === 'signals' ? 'signal' : 'show'}
          </button>
        )}
        <button class="quiet" onClick={() => inspect([section])} title={`All ${section} as they are written`}>
          As written
        </button>
      </div>
    </section>
  );
}

// shiftOf makes room where what is dragged would come.
function shiftOf(i: number, d: Drag): string {
  if (i > d.from && i <= d.to) return 'calc(-1 * var(--rung))';
  if (i < d.from && i >= d.to) return 'var(--rung)';
  return '';
}
