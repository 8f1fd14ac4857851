// The entries of a list or of a mapping by name: each a way in, or a field when it is a single value; and one more.

import { useSignal } from '@preact/signals';
import type { Form, Kind, Schema } from '../engine/schema';
import { summary } from '../engine/schema';
import { entry, isMapping, problemsAt, type Path } from '../engine/tree';
import type { Diagnostic, Value } from '../engine/types';
import { Trouble } from '../ui/diagnostic';
import { job, path as chosen } from '../ui/state';
import { addAt, freeName, setAt } from './change';
import { Field } from './field';
import { starter } from './starters';

const leaves = ['text', 'choice', 'truth', 'items', 'points'];

export function Entries({ form, path, schema, value, kind }: { form: Form; path: Path; schema: Schema; value: Value | undefined; kind: Kind }) {
  const j = job.value!;
  const rows = rowsOf(kind, value);
  const item = kind === 'map' ? form.resolve(schema.additionalProperties as Schema) : form.resolve(schema.items ?? {});
  return (
    <>
      <ol class="entries">
        {rows.map((r) => {
          const to = [...path, r.step];
          const own = form.forValue(item, r.value);
          const ownKind = form.kind(own);
          if (leaves.includes(ownKind))
            return (
              <li key={r.step}>
                <Field path={to} name={r.name} schema={own} kind={ownKind} value={r.value} />
              </li>
            );
          const bad = problemsAt(j, to).length;
          return (
            <li key={r.step}>
              <button class="entry" onClick={() => (chosen.value = to)}>
                <span class="entry-name">{r.name}</span>
                <span class="entry-says">{r.says}</span>
                {bad > 0 && <span class="tag caution">{bad}</span>}
                <span aria-hidden="true">›</span>
              </button>
            </li>
          );
        })}
      </ol>
      <More form={form} path={path} item={item} kind={kind} taken={rows.map((r) => r.name)} />
    </>
  );
}

interface Row {
  step: string;
  name: string;
  says: string;
  value: Value;
}

function rowsOf(kind: Kind, value: Value | undefined): Row[] {
  if (Array.isArray(value))
    return value.map((v, i) => {
      const one = entry(v);
      const says = one ? summary(one[1]) : summary(v);
      return { step: String(i), name: one ? (kind === 'named' ? one[0] : `${i + 1} ${one[0]}`) : String(i + 1), says, value: v };
    });
  if (isMapping(value))
    return Object.entries(value)
      .filter(([k]) => k !== 'note')
      .map(([k, v]) => ({ step: k, name: k, says: summary(v), value: v }));
  return [];
}

// More adds an entry: of a kind that is chosen, or under a name that is typed.
function More({ form, path, item, kind, taken }: { form: Form; path: Path; item: Schema; kind: Kind; taken: string[] }) {
  const name = useSignal('');
  const refused = useSignal<Diagnostic[]>([]);
  const section = path.at(-1) ?? '';
  const j = job.value!;
  const kinds = form.kind(item) === 'one' && item.properties ? Object.keys(item.properties) : null;
  const done = async (doing: Promise<Diagnostic[] | null>, to: Path) => {
    refused.value = (await doing) ?? [];
    if (refused.value.length === 0) {
      name.value = '';
      chosen.value = to;
    }
  };
  const add = (k: string) => {
    const at = String(taken.length);
    void done(addAt(path, starter(section, k, freeName(names(j.text), k), j)), [...path, at]);
  };
  if (kinds)
    return (
      <>
        <div class="more" role="group" aria-label="Add">
          <span class="faint">Add</span>
          {kinds.map((k) => (
            <button class="chip" title={form.child(item, k)?.description} onClick={() => add(k)}>
              {k}
            </button>
          ))}
        </div>
        <Refused list={refused.value} />
      </>
    );
  if (kind === 'list')
    return (
      <button class="chip" onClick={() => void done(addAt(path, {}), [...path, String(taken.length)])}>
        Add
      </button>
    );
  const leaf = kind === 'map' && leaves.includes(form.kind(form.forValue(item, undefined)));
  return (
    <>
      <form
        class="row add-named"
        onSubmit={(e) => {
          e.preventDefault();
          const n = name.value.trim();
          if (n === '') return;
          const value = leaf ? (section === 'wiring' ? '1' : n) : starter(section, '', n, j);
          if (kind === 'named') void done(addAt(path, { [n]: value }), [...path, String(taken.length)]);
          else void done(setAt([...path, n], value), leaf ? path : [...path, n]);
        }}
      >
        <input aria-label={`Name of a new entry of ${section}`} placeholder="name of a new one" value={name.value} onInput={(e) => (name.value = e.currentTarget.value)} />
        <button>Add</button>
      </form>
      <Refused list={refused.value} />
    </>
  );
}

const names = (text: string) => [...text.matchAll(/name: *([a-z][a-z0-9-]*)/g)].map((m) => m[1]!);

function Refused({ list }: { list: Diagnostic[] }) {
  return (
    <>
      {list.map((d) => (
        <Trouble d={d} where={false} />
      ))}
    </>
  );
}
