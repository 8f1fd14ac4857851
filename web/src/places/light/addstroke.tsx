// Adding a stroke: ten kinds, each with what it does, begun on what is chosen on the lamps.

import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { offer } from '../../engine/actions';
import { at } from '../../engine/tree';
import type { Job, Lamp, Routine } from '../../engine/types';
import { addAt } from '../../inspector/change';
import { path, store } from '../../ui/state';
import { kinds, newStroke } from './newstroke';
import { textOf } from './region';
import { picks } from './state';

export function AddStroke({ j, routine, lamps, count }: { j: Job; routine: Routine; lamps: Lamp[]; count: number }) {
  const open = useSignal(false);
  const box = useRef<HTMLDivElement>(null);
  const across = Boolean(at(j.tree, ['routines', routine.name, 'across']));
  const on = textOf(lamps, picks.value, across);
  const others = j.routines.map((r) => r.name).filter((n) => n !== routine.name);
  const add = async (kind: string) => {
    open.value = false;
    const list = ['routines', routine.name, 'strokes'];
    const problems = await addAt(list, newStroke(kind, lamps, on, routine.ms, others[0] ?? ''));
    if (problems) store.tell({ problems });
    else {
      picks.value = [];
      path.value = [...list, String(count)];
    }
  };
  const latest = useRef(add);
  latest.current = add;
  useEffect(
    () =>
      offer(
        { id: 'light-add', says: 'Add a stroke to the routine', keys: ['A'], run: () => (open.value = !open.peek()) },
        ...kinds.map((k) => ({ id: `light-add-${k.id}`, says: `Add a stroke: ${k.name.toLowerCase()}, ${k.says}`, run: () => void latest.current(k.id) })),
      ),
    [],
  );
  useEffect(() => {
    if (open.value) box.current?.querySelector('button')?.focus();
  }, [open.value]);
  return (
    <div class="addstroke" onKeyDown={(e) => e.key === 'Escape' && open.value && ((open.value = false), e.stopPropagation(), box.current?.parentElement?.querySelector('button')?.focus())}>
      <button class="quiet" aria-expanded={open.value} onClick={() => (open.value = !open.value)} title="A">
        Add a stroke
      </button>
      {open.value && (
        <div class="addstroke-list" ref={box}>
          <p class="faint">
            Over {on.length > 0 ? on.slice(0, 4).join(', ') + (on.length > 4 ? ', …' : '') : 'all of it. Click groups on a lamp first to choose less'}.
          </p>
          {kinds
            .filter((k) => k.id !== 'call' || others.length > 0)
            .map((k) => (
              <button data-kind={k.id} onClick={() => void add(k.id)}>
                <b>{k.name}</b> <span class="faint">{k.says}</span>
              </button>
            ))}
        </div>
      )}
    </div>
  );
}
