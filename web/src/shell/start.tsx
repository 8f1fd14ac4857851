// The first start, without a job: three ways in.

import { useSignal } from '@preact/signals';
import { post, told } from '../engine/api';
import type { Diagnostic } from '../engine/types';
import { Trouble } from '../ui/diagnostic';
import { go, state, store } from '../ui/state';
import { uses } from '../ui/words';
import { NewLamp, type LampOrder } from './newlamp';

export type Begin = (order: { way: 'demo'; name: string } | { way: 'file'; name: string } | ({ way: 'lamp' } & LampOrder)) => void;

export function Start() {
  const problems = useSignal<Diagnostic[]>([]);
  const jobs = state.value.jobs;
  const begin: Begin = async (order) => {
    try {
      await post('/api/start', order);
      problems.value = [];
      if (order.way === 'lamp') go('layout'); // the new lamp is looked at first
      await store.refetch();
    } catch (error) {
      problems.value = told(error);
    }
  };
  return (
    <div class="start">
      <h1>Lampwright</h1>
      <p>
        No job is open yet in <code>{state.value.folder}</code>. Three ways in:
      </p>
      {problems.value.length > 0 && (
        <div role="alert" class="start-refused">
          {problems.value.map((d) => (
            <Trouble d={d} />
          ))}
        </div>
      )}
      <div class="start-ways">
        <section aria-labelledby="way-demo">
          <h2 id="way-demo">Look at the demo</h2>
          <p>An invented pickup with animated rear and front lamps, copied into this folder as demo.yaml. Change whatever you like.</p>
          <button class="strong" onClick={() => begin({ way: 'demo', name: 'demo' })}>
            Open the demo
          </button>
        </section>
        <section aria-labelledby="way-file">
          <h2 id="way-file">Open a file</h2>
          {jobs.length === 0 && <p>There is no job file in this folder.</p>}
          <ul class="start-files">
            {jobs.map((name) => (
              <li>
                <button onClick={() => begin({ way: 'file', name })}>{name}</button>
              </li>
            ))}
          </ul>
        </section>
        <section class="start-lamp" aria-labelledby="way-lamp">
          <h2 id="way-lamp">Begin a lamp</h2>
          <NewLamp uses={uses} begin={begin} />
        </section>
      </div>
    </div>
  );
}
