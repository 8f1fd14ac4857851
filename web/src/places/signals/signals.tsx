// Signals: who has a group, and why. The car on the left with switches, a script or the wires below it; the ladder of priority on the right.

import { useComputed } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { offer } from '../../engine/actions';
import { useBench } from '../../ui/bench';
import { Modules } from '../../ui/modulestates';
import { job, shown } from '../../ui/state';
import { Car } from './car';
import { Ladder } from './ladder';
import { Script, Transport, useScript } from './script';
import { view, wire, type View } from './state';
import { Switches } from './switches';
import { WhyBox } from './whybox';
import { Wires } from './wires';

const tabs: [View, string, string][] = [
  ['switches', 'Switches', 'press inputs and watch the car in real time'],
  ['script', 'Script', 'presses over time, played as a film'],
  ['wires', 'Wires', 'what each factory wire does, and how it is read'],
];

export function SignalsPlace() {
  useBench();
  const j = shown.value ?? job.value!;
  const script = useScript();
  const live = useComputed(() => view.value !== 'script');
  useEffect(
    () =>
      offer(
        ...tabs.map(([v, name, says]) => ({ id: `signals-${v}`, says: `Signals: ${name.toLowerCase()}: ${says}`, run: () => (view.value = v) })),
        { id: 'wire-next', says: 'Signals: the next wire', ready: () => view.peek() === 'wires', keys: ['N'], run: () => (wire.value = next(j.inputs.map((i) => i.name), wire.peek())) },
      ),
    [j],
  );
  return (
    <div class={`signals view-${view.value}`}>
      <div class="controls">
        <div class="signals-views" role="group" aria-label="View">
          {tabs.map(([v, name, says]) => (
            <button class="tab" aria-pressed={view.value === v} title={says} onClick={() => (view.value = v)}>
              {name}
            </button>
          ))}
        </div>
        <span class="status-fill" />
        {view.value === 'switches' && <Modules />}
        {view.value === 'script' && <Transport script={script} />}
      </div>
      {view.value !== 'wires' && <Car live={live.value} lamps={j.lamps} script={script} />}
      {view.value === 'switches' && <Switches inputs={j.inputs} />}
      {view.value === 'script' && <Script script={script} />}
      {view.value === 'wires' && <Wires />}
      <aside class="signals-side" aria-label="Priority">
        {view.value !== 'wires' && <WhyBox live={live.value} script={script} />}
        <Ladder live={live.value} />
      </aside>
    </div>
  );
}

function next(all: string[], now: string): string {
  return all[(all.indexOf(now) + 1) % Math.max(1, all.length)] ?? '';
}
