// What the car or a remote may ask for and nothing answers yet: one press adds its wire, a plain signal or show on it, and its light.

import { words } from '../../engine/bench';
import { at } from '../../engine/tree';
import type { Job, Lamp } from '../../engine/types';
import { job, store } from '../../ui/state';
import type { Section } from './ladder';

const roads = ['stop', 'tail', 'turn-lh', 'turn-rh', 'reverse', 'fog', 'drl'];

// asksOf lists the inputs that a section could answer and does not.
export function asksOf(j: Job, section: Section): string[] {
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
  if (all.length === 0) return null;
  return (
    <div class="asks" role="group" aria-label={section === 'signals' ? 'Add a signal for' : 'Add a show on'}>
      <span class="faint">{section === 'signals' ? 'Add a signal for' : 'Add a show on'}</span>
      {all.map((name) => (
        <button class="chip" data-ask={name} title="Adds its wire, and a plain answer to it, in one step" onClick={() => void store.do('ask', { input: name })}>
          {words[name] ?? name}
        </button>
      ))}
    </div>
  );
}
