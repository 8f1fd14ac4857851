// The first start, without a job: three ways in.

import { useState } from 'preact/hooks';
import { post, told } from '../engine/api';
import type { Diagnostic } from '../engine/types';
import { Trouble } from '../ui/diagnostic';
import { store } from '../ui/state';

export function Start() {
  const [file, name] = useState('');
  const [problems, tell] = useState<Diagnostic[]>([]);
  const begin = async (way: object) => {
    try {
      await post('/api/start', way);
      tell([]);
      await store.refetch();
    } catch (error) {
      tell(told(error));
    }
  };
  return (
    <div class="start">
      <h1>Lampwright</h1>
      <p>There is no job open yet. Three ways in:</p>
      <div class="start-ways">
        <section>
          <h2>Look at the demo</h2>
          <p>An invented pickup with animated rear and front lamps, copied into this folder. Change whatever you like.</p>
          <button class="strong" onClick={() => begin({ way: 'demo' })}>
            Open the demo
          </button>
        </section>
        <section>
          <h2>Begin a lamp</h2>
          <p>One lamp with a row of LEDs, a module and a first routine: the smallest job that lights.</p>
          <button class="strong" onClick={() => begin({ way: 'empty' })}>
            Begin an empty job
          </button>
        </section>
        <form
          onSubmit={(e) => {
            e.preventDefault();
            void begin({ way: 'open', path: file });
          }}
        >
          <h2>Open a file</h2>
          <label class="field">
            <span class="field-name">Job file on this machine</span>
            <input value={file} onInput={(e) => name(e.currentTarget.value)} placeholder="lamps/pickup.yaml" />
          </label>
          <button class="strong">Open the file</button>
        </form>
      </div>
      {problems.map((d) => (
        <Trouble d={d} />
      ))}
    </div>
  );
}
