// Work under way: how far it is, by module and by time, and the way to stop it.

import type { Task } from '../../engine/types';
import { shown, state } from '../../ui/state';
import { stop } from './state';
import { seconds } from './words';

export function Running({ task }: { task: Task }) {
  const at = task.at;
  const lost = state.value.line === 'lost';
  return (
    <section class="proof-running" aria-labelledby="proof-running">
      <div class="row">
        <h2 id="proof-running">{task.what === 'proof' ? 'Proving' : 'Trying single faults'}</h2>
        <span class="status-fill" />
        <button class="strong" aria-disabled={task.stopping || lost} onClick={() => !task.stopping && !lost && void stop(task)}>
          {task.stopping ? 'Stopping…' : 'Stop'}
        </button>
      </div>
      <progress aria-label="How far" max={1} value={at.share} />
      <p role="status">{lost ? 'The program does not answer; if it was ended, this work ended with it.' : says(task)}</p>
      {task.what === 'proof' && at.runs > 0 && <Modules task={task} />}
    </section>
  );
}

function says(task: Task): string {
  const at = task.at;
  if (task.what === 'proof') return at.lengthMs ? `${seconds(at.ms)} of ${seconds(at.lengthMs)} simulated${at.runs > 1 ? `, run ${at.run + 1} of ${at.runs}` : ''}` : 'Making the simulated processor ready…';
  if (at.runs) return `On the simulated processor: run ${at.run} of ${at.runs}`;
  return at.faults ? `On the engine: fault ${at.tried} of ${at.faults}` : 'Making ready…';
}

function Modules({ task }: { task: Task }) {
  const at = task.at;
  return (
    <ul class="proof-modules">
      {(shown.value?.modules ?? []).map((m) => {
        const now = at.modules.includes(m.name);
        const waits = !now && at.runs > 1 && at.run === 0;
        return (
          <li>
            <b>{m.name}</b> <span class="faint">{now ? `at ${seconds(at.ms)}` : waits ? 'waits' : at.runs > 1 ? 'in another run' : ''}</span>
          </li>
        );
      })}
    </ul>
  );
}
