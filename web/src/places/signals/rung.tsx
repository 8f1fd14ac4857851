// One rung of the ladder: a signal or show in a line, and opened with its timing and everything that can be said of it.

import { Node } from '../../inspector/node';
import { at, problemsAt } from '../../engine/tree';
import type { Layer } from '../../engine/types';
import { form, job } from '../../ui/state';
import type { Section } from './ladder';
import { chosen, picked } from './state';
import { TimeDrawing } from './timedrawing';

interface Props {
  section: Section;
  index: number;
  name: string;
  layer: Layer | undefined; // nothing when it could not be understood
  phase: string; // as the bench has it, "" when it is off
  grip: object;
  move: (by: number) => void;
  shift: string; // how far it stands from its place while one is dragged
  held: boolean; // it is the one
}

export function Rung({ section, index, name, layer, phase, grip, move, shift, held }: Props) {
  const open = chosen.value === name && name !== '';
  const path = [section, String(index)];
  const bad = problemsAt(job.value!, path).length;
  const f = form.value;
  const toggle = () => {
    chosen.value = open ? '' : name;
    if (!open) picked.value = null;
  };
  return (
    <li class={`rung ${open ? 'open' : ''} ${held ? 'held' : ''} ${phase ? 'lives' : ''}`} style={shift ? { transform: `translateY(${shift})` } : undefined}>
      <div class="rung-line">
        <span class="rung-grip" title="Drag to another priority" aria-hidden="true" {...grip}>
          ⠿
        </span>
        <button
          class="rung-head"
          aria-expanded={open}
          data-rung={name}
          aria-describedby="ladder-keys"
          onClick={toggle}
          onKeyDown={(e) => {
            if (e.key !== 'ArrowUp' && e.key !== 'ArrowDown') return;
            e.preventDefault();
            const by = e.key === 'ArrowUp' ? -1 : 1;
            if (e.altKey) move(by);
            else neighbour(e.currentTarget, by)?.focus();
          }}
        >
          <span class="rung-rank">{index + 1}</span>
          <span class="rung-name">{name}</span>
          <span class="rung-says">
            {layer ? `${layer.input} → ${taken(layer)}` : asWritten(path, name)}
          </span>
          {bad > 0 && <span class="tag caution">{bad}</span>}
          {phase && <span class="rung-phase">{phaseWords[phase] ?? phase}</span>}
        </button>
      </div>
      {open && (
        <div class="rung-body">
          {layer && <TimeDrawing layer={layer} />}
          {f && <Node form={f} path={path} />}
        </div>
      )}
    </li>
  );
}

const phaseWords: Record<string, string> = { arrive: 'arrives', stay: 'on', leave: 'leaves', keep: 'keeps dark' };

// asWritten says what stands in the document of a layer that cannot be understood, perhaps for what is wrong elsewhere.
function asWritten(path: string[], name: string): string {
  const body = at(job.value!.tree, [...path, name]);
  const text = (key: string) => {
    const v = at(body, [key]);
    return typeof v === 'string' ? v : Array.isArray(v) ? v.filter((i) => typeof i === 'string').join(', ') : '';
  };
  return `${text('input') || 'no input'} → ${text('takes') || 'all that its light is on'}`;
}

// taken says what a layer may take: whole zones by name where it takes all of one.
function taken(l: Layer): string {
  const lamps = l.takes.map((t) => t.lamp);
  const n = l.takes.reduce((sum, t) => sum + t.groups.length, 0);
  return `${n} ${n === 1 ? 'group' : 'groups'} of ${lamps.length > 2 ? `${lamps.length} lamps` : lamps.join(', ') || 'nothing'}`;
}

function neighbour(from: HTMLElement, by: number): HTMLElement | undefined {
  const all = [...document.querySelectorAll<HTMLElement>('.rung-head')];
  return all[all.indexOf(from) + by];
}
