// One place of the document: its own values as fields, and the way into what lies below.

import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { Form, Schema } from '../engine/schema';
import { at, entry, isMapping, type Path } from '../engine/tree';
import type { Diagnostic, Value } from '../engine/types';
import { Trouble } from '../ui/diagnostic';
import { job, path as chosen } from '../ui/state';
import { renameAt } from './change';
import { Entries } from './entries';
import { Field } from './field';
import { Own } from './own';

const leaves = ['text', 'choice', 'truth', 'items', 'points'];

export function Node({ form, path }: { form: Form; path: Path }) {
  const tree = job.value!.tree;
  const schema = form.at(tree, path);
  const value = at(tree, path);
  if (!schema) return <p>The document may say nothing here.</p>;
  const kind = form.kind(schema);
  const body =
    kind === 'one' ? (
      <One form={form} path={path} schema={schema} value={value} />
    ) : kind === 'group' ? (
      <Group form={form} path={path} schema={schema} value={value} />
    ) : leaves.includes(kind) ? (
      <Field path={path} name={path.at(-1) ?? ''} schema={schema} kind={kind} value={value} />
    ) : (
      <Entries form={form} path={path} schema={schema} value={value} kind={kind} />
    );
  return (
    <>
      {path.length > 0 && <Own form={form} path={path} />}
      {schema.description && kind !== 'one' && <p class="faint node-says">{schema.description}</p>}
      {body}
    </>
  );
}

// One is a mapping with a single key out of several: the key is chosen, then come the fields of what it holds.
function One({ form, path, schema, value }: { form: Form; path: Path; schema: Schema; value: Value | undefined }) {
  const refused = useSignal<Diagnostic[]>([]);
  const one = entry(value);
  const named = !schema.properties; // {turn-lh: {…}}: the key is a name, told by Own
  const inner = one ? [...path, one[0]] : null;
  const below = inner && form.at(job.value!.tree, inner);
  return (
    <>
      {!named && (
        <div class="field">
          <label class="field-name" for="kind-of-entry">
            kind
          </label>
          <div class="field-input">
            <select
              id="kind-of-entry"
              value={one?.[0] ?? ''}
              onChange={async (e) => {
                refused.value = (one && (await renameAt([...path, one[0]], e.currentTarget.value))) || [];
              }}
            >
              {Object.keys(schema.properties!).map((k) => (
                <option value={k}>{k}</option>
              ))}
            </select>
          </div>
        </div>
      )}
      {refused.value.map((d) => (
        <Trouble d={d} where={false} />
      ))}
      {inner && below && <Group form={form} path={inner} schema={below} value={one![1]} />}
    </>
  );
}

// Group is a mapping with named fields: those that stand in the document and those that are needed; the rest can be added.
function Group({ form, path, schema, value }: { form: Form; path: Path; schema: Schema; value: Value | undefined }) {
  const opened = useSignal<string | null>(null);
  const where = path.join('.');
  useEffect(() => {
    opened.value = null;
  }, [where]);
  const have = isMapping(value) ? value : {};
  const fields = Object.entries(schema.properties ?? {}).map(([name, s]) => {
    const resolved = form.forValue(s, have[name]);
    return { name, schema: resolved, kind: form.kind(resolved), there: name in have, required: schema.required?.includes(name) ?? false };
  });
  const strange = Object.keys(have).filter((k) => !schema.properties?.[k]);
  const isLeaf = (k: string) => leaves.includes(k);
  const open = fields.filter((f) => isLeaf(f.kind) && (f.there || f.required || f.name === opened.value));
  const below = fields.filter((f) => !isLeaf(f.kind) && (f.there || f.required));
  const rest = fields.filter((f) => !open.includes(f) && !below.includes(f));
  const last = (a: { name: string }, b: { name: string }) => Number(a.name === 'note') - Number(b.name === 'note');
  return (
    <>
      {open.sort(last).map((f) => (
        <Field key={f.name} path={[...path, f.name]} name={f.name} schema={f.schema} kind={f.kind} value={have[f.name]} required={f.required} focus={f.name === opened.value} />
      ))}
      {below.map((f) => (
        <Below key={f.name} form={form} path={[...path, f.name]} name={f.name} schema={f.schema} value={have[f.name]} />
      ))}
      {strange.map((k) => (
        <p class="faint">
          {k}: this version does not know it; it is kept as it is. See the text.
        </p>
      ))}
      {rest.length > 0 && (
        <div class="more" role="group" aria-label="Not given; add">
          <span class="faint">Add</span>
          {rest.map((f) => (
            <button class="chip" title={f.schema.description} onClick={() => (isLeaf(f.kind) ? (opened.value = f.name) : (chosen.value = [...path, f.name]))}>
              {f.name}
            </button>
          ))}
        </div>
      )}
    </>
  );
}

// Below is something with parts of its own: small groups stand here at once, the rest is a way in.
function Below({ form, path, name, schema, value }: { form: Form; path: Path; name: string; schema: Schema; value: Value | undefined }) {
  const kind = form.kind(schema);
  const small = kind === 'group' && Object.values(schema.properties ?? {}).every((s) => leaves.includes(form.kind(s)));
  return (
    <fieldset class="below">
      <legend>
        <button class="link" onClick={() => (chosen.value = path)}>
          {name} ›
        </button>
      </legend>
      {small ? <Group form={form} path={path} schema={schema} value={value} /> : kind === 'group' ? <Inside form={form} path={path} schema={schema} value={value} /> : <Entries form={form} path={path} schema={schema} value={value} kind={kind} />}
    </fieldset>
  );
}

// Inside lists what a larger group holds, each a way in.
function Inside({ form, path, schema, value }: { form: Form; path: Path; schema: Schema; value: Value | undefined }) {
  const have = isMapping(value) ? Object.keys(value).filter((k) => k !== 'note') : [];
  return (
    <div class="more">
      {have.map((k) => (
        <button class="chip" onClick={() => (chosen.value = [...path, k])} title={form.child(schema, k)?.description}>
          {k}
        </button>
      ))}
      <button class="chip" onClick={() => (chosen.value = path)}>
        open
      </button>
    </div>
  );
}
