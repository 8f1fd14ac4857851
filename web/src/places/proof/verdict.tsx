// What the latest proof found: the verdict, its modules, and for which job and presses it holds.

import type { Task } from '../../engine/types';
import { Trouble } from '../../ui/diagnostic';
import { Differences } from './differences';
import { stale } from './state';
import type { Found, Proof } from './types';
import { pressed, seconds, verdict } from './words';

export function Verdict({ found }: { found: Found }) {
  const p = found.proof!;
  return (
    <section class="proof-verdict" aria-labelledby="proof-verdict">
      <h2 id="proof-verdict" class={`verdict ${p.proven ? 'good' : 'bad'}`}>
        {p.proven ? '✓' : '✕'} {verdict(p)}
      </h2>
      {p.shown.length > 0 && <Differences all={p.shown} />}
      <Of task={found} more={`${pressed(found.name)}, the car's supply at ${p.supply} where nothing else is said`} />
      {!p.proven && <p>Next: do not load it; report this with the job.</p>}
      <Modules p={p} />
      <details>
        <summary>The presses it was proven with</summary>
        <p class="proof-words">
          {found.script.split(/\s+/).map((word) => (
            <code>{word}</code>
          ))}
        </p>
      </details>
    </section>
  );
}

// Of says for which job something was found, and whether that is still the job.
export function Of({ task, more }: { task: Task; more: string }) {
  const old = stale(task);
  return (
    <p class={old ? 'warn proof-stale' : 'faint'}>
      {old ? (
        <>
          <b>Out of date: the job has changed since.</b> This is of revision {short(task.revision)}, with {more}.
        </>
      ) : (
        <>
          Of the job as it is now, revision {short(task.revision)}, with {more}.
        </>
      )}
    </p>
  );
}

const endsEarly = 1000; // ms before the end of the script: a whole run reaches farther

const short = (revision: string) => revision.slice(0, 8);

function Modules({ p }: { p: Proof }) {
  return (
    <div class="scroll-x" tabIndex={0} role="region" aria-label="Table of modules">
      <table class="table">
        <thead>
          <tr>
            <th scope="col">Module</th>
            <th scope="col">Verdict</th>
            <th scope="col" class="number">
              Compared
            </th>
            <th scope="col" class="number">
              Busy
            </th>
          </tr>
        </thead>
        <tbody>
          {p.modules.map((m) => (
            <tr>
              <th scope="row">{m.module}</th>
              <td class={m.proven ? 'good' : 'bad'}>
                {m.proven ? (m.unpowered ? '✓ the script never brings its supply' : '✓ as the job says') : '✕ not as the job says'}
                {!m.proven && m.refreshes * 0.5 < p.lengthMs - endsEarly && <p class="proof-problem">Its run was ended there, with enough differences.</p>}
                {m.problems.map((line) => (
                  <p class="proof-problem">{line}</p>
                ))}
              </td>
              <td class="number">{m.refreshes.toLocaleString('en')} refreshes</td>
              <td class="number">{m.busyPercent > 0 ? `${m.busyPercent} %` : '–'}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

// Ended says of work that found nothing why.
export function Ended({ task }: { task: Task }) {
  if (task.problems.length > 0)
    return (
      <div role="alert">
        {task.problems.map((d) => (
          <Trouble d={d} />
        ))}
      </div>
    );
  if (!task.stopped) return null;
  return (
    <p role="status" class="proof-stopped">
      <b>Stopped before its end</b>
      {task.at.lengthMs > 0 && ` at ${seconds(task.at.ms)} of ${seconds(task.at.lengthMs)}`}: nothing is proven by it.
    </p>
  );
}
