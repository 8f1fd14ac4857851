// What the car or a remote may ask for and nothing answers yet: one press adds its wire, a plain signal or show on it, and its light.

import { useRef } from 'preact/hooks';
import { words } from '../../engine/bench';
import { at } from '../../engine/tree';
import type { Job, Lamp } from '../../engine/types';
import { job, store } from '../../ui/state';
import type { Section } from './ladder';

const roads = ['stop', 'tail', 'turn-lh', 'turn-rh', 'reverse', 'fog', 'drl'];

// asksOf lists the inputs that a section could answer and does not.
function asksOf(j: Job, section: Section): string[] {
  const answered = new Set(j.layers.map((l) => l.input));
  if (section === 'signals') {
    const driven = j.lamps.filter((l) => j.modules.some((m) => m.lamp === l.name));
    return roads.filter((r) => !answered.has(r) && driven.some((l) => sits(r, l.place)));
  }
  const cuts = JSON.stringify(at(j.tree, ['shows']) ?? []); // an input that only cuts shows asks for none
  const free = j.inputs.filter((i) => !i.road && !answered.has(i.name) && !cuts.includes(`"not-while":"${i.name}"`)).map((i) => i.name);
  let n = 1;
  while (j.inputs.some((i) => i.name === `remote-${n}`)) n++;
  return j.modules.length > 0 ? [...free.slice(0, 3), `remote-${n}`] : [];
}

// sits tells whether a lamp there could answer, as the command decides it.
const sits = (road: string, at: Lamp['place']) =>
  road === 'turn-lh' ? at.side === 'LH' : road === 'turn-rh' ? at.side === 'RH' : road === 'drl' ? at.end === 'front' : road === 'tail' || at.end === 'rear';

export function Asks({ section }: { section: Section }) {
  const j = job.value!;
  const all = asksOf(j, section);
  const under = useRef(''); // it is being added
  if (all.length === 0) return null;
  const add = async (e: MouseEvent, input: string) => {
    if (under.current === input || e.detail > 1) return; // of a double click the second goes to what has moved under the hand
    const list = (e.currentTarget as HTMLElement).closest('section');
    under.current = input;
    const problems = await store.do('ask', { input });
    under.current = '';
    if (problems) return;
    queueMicrotask(() => {
      const rungs = [...(list?.querySelectorAll<HTMLElement>('.rung-head') ?? [])];
      const came = rungs.find((r) => job.peek()?.layers.some((l) => l.name === r.dataset.rung && l.input === input));
      if (document.activeElement === document.body) came?.focus({ preventScroll: true }); // what was pressed is gone
    });
  };
  return (
    <div class="asks" role="group" aria-label={section === 'signals' ? 'Add a signal for' : 'Add a show on'}>
      <span class="faint">{section === 'signals' ? 'Add a signal for' : 'Add a show on'}</span>
      {all.map((name) => (
        <button key={name} class="chip" data-ask={name} title="Adds its wire, and a plain answer to it, in one step" onClick={(e) => void add(e, name)}>
          {words[name] ?? name}
        </button>
      ))}
    </div>
  );
}
