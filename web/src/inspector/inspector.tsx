// The inspector: a form for any place in the document, made from the schema. Whatever the document can say can be changed here.

import { useRef } from 'preact/hooks';
import type { Form } from '../engine/schema';
import { at, isMapping, type Path } from '../engine/tree';
import type { Value } from '../engine/types';
import { form, job, path } from '../ui/state';
import { Crumbs } from './crumbs';
import { help } from './help';
import { Node } from './node';

export function Inspector() {
  const j = job.value!;
  const f = form.value;
  const body = useRef<HTMLDivElement>(null);
  if (!f) return <div class="panel">Reading what a document may say…</div>;
  if (j.tree === null)
    return (
      <div class="panel">
        <p>The text cannot be read as a document, so it cannot be shown as a form. Mend it in the text pane first; the problems say where.</p>
      </div>
    );
  const p = living(f, j.tree, path.value);
  return (
    <div class="inspector">
      <Crumbs path={p} />
      <div class="panel" ref={body} key={p.join('.')}>
        <Node form={f} path={p} />
      </div>
      <p class="help" aria-live="off">
        {help.value ? (
          <>
            <b>{help.value.name}</b> {help.value.says}
          </>
        ) : (
          <span class="faint">Values are kept as you write them, with the units that you write.</span>
        )}
      </p>
    </div>
  );
}

// living shortens a path whose list item or named entry is gone; other keys that are missing may be about to be made.
function living(f: Form, tree: Value, p: Path): Path {
  for (let i = 0; i < p.length; i++) {
    const parent = at(tree, p.slice(0, i));
    if (Array.isArray(parent) && Number(p[i]) >= parent.length) return p.slice(0, i);
    if (isMapping(parent) && !(p[i]! in parent)) {
      const schema = f.at(tree, p.slice(0, i));
      if (schema && ['map', 'one', 'named'].includes(f.kind(schema))) return p.slice(0, i);
    }
  }
  return p;
}
