// Job: what it is and for whom, what stands in the way of shipping, and the kit itself.

import { Field } from '../../inspector/field';
import { Trouble } from '../../ui/diagnostic';
import { counts, form, job, panel } from '../../ui/state';
import { many } from '../../ui/words';
import { at } from '../../engine/tree';
import { Make } from './make';
import { Modules } from './modules';
import { Preview } from './preview';

const few = 3; // problems that are shown here; the panel has them all

export function JobPlace() {
  return (
    <div class="job">
      <Preview />
      <div class="job-columns">
        <section class="card" aria-labelledby="job-what">
          <h2 id="job-what">This job</h2>
          <Facts />
        </section>
        <section class="card" aria-labelledby="job-way">
          <h2 id="job-way">What stands in the way</h2>
          <InTheWay />
          <Make />
        </section>
      </div>
      <Modules />
    </div>
  );
}

function Facts() {
  const f = form.value;
  const j = job.value!;
  if (!f || j.tree === null) return <p>{j.title || 'The text cannot be read as a document yet.'}</p>;
  return (
    <div class="job-facts">
      {['title', 'for', 'use', 'note'].map((name) => {
        const path = ['job', name];
        const schema = f.at(j.tree, path)!;
        return <Field key={name} path={path} name={name} schema={schema} kind={f.kind(schema)} value={at(j.tree, path)} required={name === 'title' || name === 'use'} />;
      })}
    </div>
  );
}

function InTheWay() {
  const j = job.value!;
  const c = counts.value;
  const stops = [...j.problems, ...j.findings].filter((d) => d.severity === 'stop-work');
  const rest = c.cautions + c.notes;
  if (stops.length === 0 && j.computed === false) return <p class="verdict">Still checking…</p>;
  return (
    <>
      {stops.length === 0 ? <p class="verdict good">✓ Nothing stops this job from being made.</p> : <p class="verdict bad">✕ {many(stops.length, 'thing stops', 'things stop')} this job.</p>}
      {stops.slice(0, few).map((d) => (
        <Trouble d={d} />
      ))}
      {(stops.length > few || rest > 0) && (
        <p>
          <button class="link" onClick={() => (panel.value = 'problems')}>
            {stops.length > few ? `All ${stops.length + rest} problems and findings` : `${[c.cautions && many(c.cautions, 'caution'), c.notes && many(c.notes, 'note')].filter(Boolean).join(' and ')} to read`}
          </button>
        </p>
      )}
    </>
  );
}
