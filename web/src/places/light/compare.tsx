// What the routine is compared with: how the modules play it, how it was some steps ago, or another routine.

import { useEffect } from 'preact/hooks';
import { useSignal } from '@preact/signals';
import { get } from '../../engine/api';
import type { Routine } from '../../engine/types';
import { job } from '../../ui/state';
import type { Other } from './film';
import { other, showing } from './state';

interface Earlier {
  revision: string;
  label: string;
}

const restMs = 300; // after a change: its light is asked for first

export function Compare({ routine, routines }: { routine: string; routines: Routine[] }) {
  const steps = useSignal<Earlier[]>([]);
  const revision = job.value?.revision;
  useEffect(() => {
    let gone = false;
    const ask = () =>
      void get<Earlier[]>('/api/earlier')
        .then((list) => !gone && (steps.value = list))
        .catch(() => {});
    const timer = window.setTimeout(ask, restMs);
    return () => {
      gone = true;
      clearTimeout(timer);
    };
  }, [revision]);
  const now = other.value;
  const way = showing.value === 'written' ? 'as the modules play it' : 'as written';
  const list = now && 'revision' in now && !steps.value.some((s) => s.revision === now.revision) ? [now, ...steps.value] : steps.value;
  return (
    <label class="controls-compare">
      <span class="visually-hidden">Compare with</span>
      <select
        value={now ? keyOf(now) : ''}
        onChange={(e) => {
          const key = e.currentTarget.value;
          const step = list.find((s) => `step ${s.revision}` === key);
          if (key === '') other.value = null;
          else if (key === 'modules') other.value = { modules: true };
          else if (step) other.value = step;
          else other.value = { routine: key.slice('routine '.length) };
        }}
      >
        <option value="">{now ? 'no comparison' : 'Compare with…'}</option>
        <option value="modules">beside: {way}</option>
        {list.length > 0 && (
          <optgroup label="before this step">
            {list.slice(0, 20).map((s) => (
              <option value={`step ${s.revision}`}>before: {s.label}</option>
            ))}
          </optgroup>
        )}
        {routines.length > 1 && (
          <optgroup label="another routine">
            {routines
              .filter((r) => r.name !== routine)
              .map((r) => (
                <option value={`routine ${r.name}`}>{r.name}</option>
              ))}
          </optgroup>
        )}
      </select>
    </label>
  );
}

const keyOf = (o: Other) => ('modules' in o ? 'modules' : 'routine' in o ? `routine ${o.routine}` : `step ${o.revision}`);

// titleOf says what the second picture shows.
export const titleOf = (o: Other, shown: 'written' | 'modules') => ('modules' in o ? (shown === 'written' ? 'As the modules play it' : 'As written') : 'routine' in o ? o.routine : `Before: ${o.label}`);
