// Everything of the chosen stroke, right beside the lamp.

import { at, isMapping, problemsAt } from '../../engine/tree';
import type { Job, Lamp, Routine, Value } from '../../engine/types';
import { copyAt, moveAt, removeAt, setAt } from '../../inspector/change';
import { Field } from '../../inspector/field';
import { Trouble } from '../../ui/diagnostic';
import { form, path } from '../../ui/state';
import { many } from '../../ui/words';
import { kinds, newStroke, travels } from './newstroke';
import { bodyOf, textOf } from './region';
import { make, picks, type Edit } from './state';

const order = ['routine', 'start', 'for', 'light', 'from', 'band', 'edge', 'easing', 'by', 'each', 'times', 'every', 'meets', 'backwards'];

const directions = ['outboard', 'inboard', 'left', 'right', 'up', 'down', 'outward', 'inward', 'clockwise', 'anticlockwise'];

export function StrokeForm({ j, routine, index, lamps, count }: { j: Job; routine: Routine; index: number; lamps: Lamp[]; count: number }) {
  const f = form.value;
  const found = bodyOf(j, routine.name, index);
  if (!f || !found) return null;
  const { kind, body } = found;
  const list = ['routines', routine.name, 'strokes'];
  const p = [...list, String(index), kind];
  const schema = f.at(j.tree, p);
  if (!schema) return null;
  const may = (key: string) => Boolean(f.child(schema, key));
  const field = (key: string) => {
    const s = f.child(schema, key);
    return s && <Field key={[...p, key].join('.')} path={[...p, key]} name={key} schema={s} kind={f.kind(s)} value={body[key]} required={key === 'band' || (kind === 'call' && key === 'routine')} />;
  };
  const across = Boolean(at(j.tree, ['routines', routine.name, 'across']));
  const on = textOf(lamps, picks.value, across);
  const moving = travels(kind);
  const to = async (n: number) => {
    if (n < 0 || n >= count) return;
    if (!(await moveAt(list, index, n))) path.value = [...list, String(n)];
  };
  const change = (next: string) => {
    const fresh = newStroke(next, lamps, [], routine.ms, '');
    const first = (isMapping(fresh) ? fresh[next] : {}) as { [key: string]: Value };
    const known = f.at({ routines: { r: { strokes: [{ [next]: {} }] } } }, ['routines', 'r', 'strokes', '0', next]);
    const kept = Object.fromEntries(Object.entries(body).filter(([k]) => known && f.child(known, k)));
    void make(`${kind} becomes ${next}`, [{ op: 'set', path: [...list, String(index)], value: { [next]: { ...first, ...kept } } }]);
  };
  const own = problemsAt(j, [...list, String(index)]).filter((d) => (d.place?.path?.length ?? 0) <= 5);
  return (
    <section class="side-part" aria-label="Stroke">
      <div class="side-head">
        <h2>
          Stroke {index + 1} of {count}
        </h2>
        <button class="quiet" onClick={() => (path.value = ['routines', routine.name])}>
          Routine
        </button>
      </div>
      <div class="field">
        <label class="field-name" for="stroke-kind">
          kind
        </label>
        <div class="field-input">
          <select id="stroke-kind" value={kind} onChange={(e) => change(e.currentTarget.value)}>
            {kinds
              .filter((k) => k.id !== 'call' || kind === 'call')
              .map((k) => (
                <option value={k.id}>{k.name.toLowerCase()}</option>
              ))}
          </select>
        </div>
      </div>
      <p class="faint">{kinds.find((k) => k.id === kind)?.says}</p>
      {field('on')}
      {picks.value.length > 0 && (
        <button onClick={() => void setAt([...p, 'on'], on.length === 1 ? on[0]! : on)}>
          Over what is chosen: {on.slice(0, 3).join(', ')}
          {on.length > 3 ? ', …' : ''}
        </button>
      )}
      {moving && <Way j={j} p={p} body={body} lamps={lamps} />}
      {order.filter((k) => may(k) && !(moving && k === 'backwards')).map(field)}
      {own.map((d) => (
        <Trouble d={d} where={false} />
      ))}
      <div class="row">
        <button onClick={() => void to(index - 1)} aria-disabled={index === 0} title="Below the stroke before it">
          Earlier
        </button>
        <button onClick={() => void to(index + 1)} aria-disabled={index === count - 1} title="Over the stroke behind it">
          Later
        </button>
        <button onClick={() => void copyAt([...list, String(index)]).then((bad) => !bad && (path.value = [...list, String(count)]))}>Copy</button>
        <button aria-disabled={count < 2} title={count < 2 ? 'A routine has at least one stroke' : 'Undo brings it back'} onClick={() => count > 1 && void removeAt([...list, String(index)]).then((bad) => !bad && (path.value = ['routines', routine.name]))}>
          Delete
        </button>
      </div>
      <p class="faint">Later strokes lie over earlier ones{count > 1 ? `; here are ${many(count, 'stroke')}` : ''}.</p>
    </section>
  );
}

// Way chooses a direction or a light path; the arrow on the lamp does the same.
function Way({ j, p, body, lamps }: { j: Job; p: string[]; body: { [key: string]: Value }; lamps: Lamp[] }) {
  const paths = [...new Set(lamps.flatMap((l) => l.paths.map((q) => q.name)))];
  const along = typeof body.along === 'string' ? body.along : '';
  const direction = typeof body.direction === 'string' ? body.direction : '';
  const now = along ? `path ${along}` : direction;
  const set = (value: string) => {
    const edits: Edit[] = [];
    const drop = (k: string) => body[k] !== undefined && edits.push({ op: 'delete', path: [...p, k] });
    if (value.startsWith('path ')) {
      drop('direction');
      edits.push({ op: 'set', path: [...p, 'along'], value: value.slice(5) });
    } else {
      drop('along');
      drop('backwards');
      edits.push({ op: 'set', path: [...p, 'direction'], value });
    }
    void make(`way of ${p[4]} in ${p[1]}`, edits);
  };
  const wrong = problemsAt(j, [...p, 'direction']).concat(problemsAt(j, [...p, 'along']));
  return (
    <>
      <div class="field">
        <label class="field-name" for="stroke-way">
          direction
        </label>
        <div class="field-input">
          <select id="stroke-way" value={now} onChange={(e) => set(e.currentTarget.value)}>
            {now === '' && <option value="">choose</option>}
            {directions.map((d) => (
              <option value={d}>{d}</option>
            ))}
            {paths.length > 0 && (
              <optgroup label="along a light path">
                {paths.map((n) => (
                  <option value={`path ${n}`}>along {n}</option>
                ))}
              </optgroup>
            )}
            {along && !paths.includes(along) && <option value={now}>along {along}</option>}
          </select>
        </div>
      </div>
      {along && (
        <label class="tick">
          <input type="checkbox" checked={String(body.backwards) === 'true'} onChange={(e) => void setAt([...p, 'backwards'], e.currentTarget.checked ? 'true' : null)} />
          From the path's end to its beginning
        </label>
      )}
      {wrong.map((d) => (
        <Trouble d={d} where={false} />
      ))}
    </>
  );
}
