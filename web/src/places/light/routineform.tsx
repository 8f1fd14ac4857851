// The routine itself, where no stroke is chosen: its name, length, lamps, and who plays it.

import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { at, isMapping } from '../../engine/tree';
import type { Diagnostic, Job, Routine } from '../../engine/types';
import { copyAt, freeName, removeAt, renameAt, setAt } from '../../inspector/change';
import { Field } from '../../inspector/field';
import { Trouble } from '../../ui/diagnostic';
import { form, go, inspect, path } from '../../ui/state';
import { newStroke } from './newstroke';
import { textOf } from './region';
import { chosen, making, picks } from './state';

// usesOf tells what plays a routine: signals, shows, and other routines that call it.
export function usesOf(j: Job, name: string): { says: string; path: string[]; place: string }[] {
  const layers = j.layers.flatMap((l) => {
    const parts = (['arrive', 'stay', 'leave'] as const).filter((p) => l[p] === name);
    if (parts.length === 0) return [];
    const section = l.show ? 'shows' : 'signals';
    const list = at(j.tree, [section]);
    const i = Array.isArray(list) ? list.findIndex((e) => isMapping(e) && l.name in e) : -1;
    return [{ says: `${l.show ? 'show' : 'signal'} ${l.name}, ${parts.join(' and ')}`, path: [section, String(i), l.name], place: 'signals' }];
  });
  const routines = at(j.tree, ['routines']);
  const callers = isMapping(routines)
    ? Object.entries(routines).flatMap(([other, r]) => {
        const strokes = at(r, ['strokes']);
        const i = Array.isArray(strokes) ? strokes.findIndex((s) => at(s, ['call', 'routine']) === name) : -1;
        return i < 0 ? [] : [{ says: `routine ${other}, which calls it`, path: ['routines', other, 'strokes', String(i)], place: 'light' }];
      })
    : [];
  return [...layers, ...callers];
}

export function RoutineForm({ j, routine }: { j: Job; routine: Routine }) {
  const f = form.value;
  const typed = useSignal<string | null>(null);
  const refused = useSignal<Diagnostic[]>([]);
  const p = ['routines', routine.name];
  const schema = f?.at(j.tree, p);
  const uses = usesOf(j, routine.name);
  const across = at(j.tree, [...p, 'across']);
  const over = typeof across === 'string' ? [across] : Array.isArray(across) ? (across as string[]) : [];
  useEffect(() => {
    typed.value = null;
    refused.value = [];
  }, [routine.name]);
  const tell = async (done: Promise<Diagnostic[] | null>) => {
    refused.value = (await done) ?? [];
    return refused.value.length === 0;
  };
  const rename = async () => {
    const to = typed.peek();
    typed.value = null;
    if (to && to !== routine.name && (await tell(renameAt(p, to)))) path.value = ['routines', to];
  };
  const field = (name: string) => {
    const s = schema && f!.child(schema, name);
    return s && <Field path={[...p, name]} name={name} schema={s} kind={f!.kind(s)} value={at(j.tree, [...p, name])} />;
  };
  return (
    <section class="side-part" aria-label="Routine">
      <h2>Routine {routine.name}</h2>
      <div class="field">
        <label class="field-name" for="routine-name">
          name
        </label>
        <div class="field-input">
          <input
            id="routine-name"
            value={typed.value ?? routine.name}
            autocomplete="off"
            spellcheck={false}
            data-draft={typed.value !== null || undefined}
            onInput={(e) => (typed.value = e.currentTarget.value)}
            onBlur={() => void rename()}
            onKeyDown={(e) => e.key === 'Enter' && void rename()}
          />
        </div>
      </div>
      {field('length')}
      <Lamps j={j} over={over} set={(names) => void tell(setAt([...p, 'across'], names.length > 0 ? names : null))} />
      {field('seed')}
      {field('note')}
      {refused.value.map((d) => (
        <Trouble d={d} where={false} />
      ))}
      <div class="row">
        <button onClick={() => void copyRoutine(j, routine.name)}>Copy</button>
        <button
          aria-disabled={uses.length > 0}
          title={uses.length > 0 ? 'Something plays it: take it out there first' : 'Undo brings it back'}
          onClick={() => uses.length === 0 && void tell(removeAt(p)).then((done) => done && (path.value = []))}
        >
          Delete
        </button>
      </div>
      <h3>Played by</h3>
      {uses.length === 0 ? (
        <p class="faint">
          Nothing plays it yet. In Signals, name it as <b>arrive</b>, <b>stay</b> or <b>leave</b> of a signal or show; or call it from another routine.{' '}
          <button class="link" onClick={() => go('signals')}>
            Go to Signals
          </button>
        </p>
      ) : (
        <ul>
          {uses.map((u) => (
            <li>
              <button
                class="link"
                onClick={() => {
                  if (u.place === 'light') path.value = u.path;
                  else {
                    go(u.place);
                    inspect(u.path);
                  }
                }}
              >
                {u.says}
              </button>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

async function copyRoutine(j: Job, name: string) {
  const to = freeName(j.routines.map((r) => r.name), `${name}-copy`);
  if (!(await copyAt(['routines', name], to))) path.value = ['routines', to];
}

// Lamps chooses whether each lamp runs the routine by itself or several as one.
function Lamps({ j, over, set }: { j: Job; over: string[]; set: (names: string[]) => void }) {
  return (
    <fieldset class="choice">
      <legend>Runs over several lamps as over one</legend>
      {j.lamps.map((l) => (
        <label class="tick">
          <input type="checkbox" checked={over.includes(l.name)} onChange={(e) => set(e.currentTarget.checked ? j.lamps.map((o) => o.name).filter((n) => n === l.name || over.includes(n)) : over.filter((n) => n !== l.name))} />
          {l.name}
        </label>
      ))}
      <p class="faint">{over.length === 0 ? 'None is chosen: each lamp that has its zones runs it by itself.' : 'Directions go through all of them together.'}</p>
    </fieldset>
  );
}

// NewRoutine asks what a new routine needs, and begins it with a sweep.
export function NewRoutine({ j }: { j: Job }) {
  const taken = j.routines.map((r) => r.name);
  const name = useSignal(freeName(taken, 'new-routine'));
  const length = useSignal('1 s');
  const over = useSignal<string[]>([]);
  const refused = useSignal<Diagnostic[]>([]);
  const begin = async (e: Event) => {
    e.preventDefault();
    const across = over.value.length > 0;
    const lamps = across ? j.lamps.filter((l) => over.value.includes(l.name)) : j.lamps;
    const ms = /^\s*([\d.]+)\s*(ms|s)\s*$/.exec(length.value);
    const stroke = newStroke('sweep', lamps, textOf(lamps, picks.value, across), ms ? Number(ms[1]) * (ms[2] === 's' ? 1000 : 1) : 1000, '');
    if (taken.includes(name.value)) {
      refused.value = [{ id: 'page', kind: 'document', severity: 'stop-work', text: `there is a routine called ${name.value} already`, next: 'choose another name' }];
      return;
    }
    const problems = await setAt(['routines', name.value], { length: length.value.trim(), ...(across ? { across: over.value } : {}), strokes: [stroke] });
    refused.value = problems ?? [];
    if (problems) return;
    making.value = false;
    picks.value = [];
    chosen.value = name.value;
    path.value = ['routines', name.value, 'strokes', '0'];
  };
  return (
    <form class="side-part" aria-label="New routine" onSubmit={begin}>
      <h2>New routine</h2>
      <div class="field">
        <label class="field-name" for="new-routine-name">
          name
        </label>
        <div class="field-input">
          <input id="new-routine-name" value={name.value} autocomplete="off" spellcheck={false} onInput={(e) => (name.value = e.currentTarget.value)} />
        </div>
      </div>
      <div class="field">
        <label class="field-name" for="new-routine-length">
          length
        </label>
        <div class="field-input">
          <input id="new-routine-length" value={length.value} autocomplete="off" onInput={(e) => (length.value = e.currentTarget.value)} />
        </div>
      </div>
      <Lamps j={j} over={over.value} set={(names) => (over.value = names)} />
      {refused.value.map((d) => (
        <Trouble d={d} where={false} />
      ))}
      <p class="faint">It begins with a sweep {picks.value.length > 0 ? 'over the groups chosen on the lamps' : 'over all of it'}. Change it to what you want.</p>
      <div class="row">
        <button class="strong" type="submit">
          Make it
        </button>
        {taken.length > 0 && (
          <button type="button" onClick={() => (making.value = false)}>
            Cancel
          </button>
        )}
      </div>
    </form>
  );
}
