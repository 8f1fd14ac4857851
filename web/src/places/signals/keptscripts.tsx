// The scripts beside the job: one is opened, the one in the field is kept for Proof and for play, or one is deleted.

import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { ask, get, plain, post, told } from '../../engine/api';
import type { Diagnostic } from '../../engine/types';
import { job, store } from '../../ui/state';
import { called, text } from './state';

interface KeptScript {
  name: string;
  text: string;
  bytes?: number; // of one that is too long to be shown
  problems: Diagnostic[] | null;
}

export function Kept() {
  const all = useSignal<KeptScript[]>([]);
  const taken = useSignal(''); // a name under which something else is kept
  const refused = useSignal<Diagnostic[]>([]);
  const long = useSignal(''); // the name of one that is too long to be shown: the field keeps what it has
  const choice = useRef<HTMLSelectElement>(null);
  const path = job.value!.path;
  const fetch = () => get<KeptScript[]>('/api/scripts').then((s) => (all.value = s)).catch(() => {});
  useEffect(() => void fetch(), [path]);
  const name = called.value.trim();
  const keep = async (over: boolean) => {
    try {
      await post('/api/scripts', { name, text: text.peek(), over });
      taken.value = '';
      refused.value = [];
      store.tell({ problems: [plain(`kept as ${name}.script beside the job`, 'Proof can choose it; lampwright play takes it as well')], good: true });
      void fetch();
    } catch (error) {
      const problems = told(error);
      const there = all.peek().some((s) => s.name === name);
      taken.value = !over && there ? name : '';
      refused.value = problems.filter((d) => !d.place?.line); // faults of the script stand at their places already
    }
  };
  const saved = all.value.find((s) => s.name === name);
  // Only this one can go: its text is in the field, or cannot be.
  const open = all.value.find((s) => s.bytes && s.name === long.value) ?? (saved && !saved.bytes && saved.text.trimEnd() === text.value.trimEnd() ? saved : null);
  const gone = () => {
    refused.value = [];
    long.value = '';
    choice.current?.focus(); // the button that was pressed goes
    void fetch();
  };
  return (
    <form
      class="script-kept"
      onSubmit={(e) => {
        e.preventDefault();
        if (name) void keep(false);
      }}
    >
      <label>
        <span>Kept scripts</span>
        <select
          ref={choice}
          value={open?.name ?? ''}
          onChange={(e) => {
            const s = all.peek().find((s) => s.name === e.currentTarget.value);
            long.value = s?.bytes ? s.name : '';
            refused.value = s?.bytes ? s.problems ?? [] : [];
            if (!s || s.bytes) return;
            text.value = s.text.trimEnd();
            called.value = s.name;
          }}
        >
          <option value="">{all.value.length === 0 ? 'none yet' : 'open one'}</option>
          {all.value.map((s) => (
            <option value={s.name}>
              {s.name}
              {s.bytes ? ' (too long)' : s.problems?.length ? ' (does not fit this job)' : ''}
            </option>
          ))}
        </select>
      </label>
      <label>
        <span>Name</span>
        <input value={called.value} placeholder="e.g. two-flashes" onInput={(e) => ((called.value = e.currentTarget.value), (taken.value = ''))} />
      </label>
      <button type="submit" aria-disabled={!name || text.value.trim() === ''}>
        Keep
      </button>
      {taken.value !== '' && (
        <button type="button" onClick={() => void keep(true)}>
          Write over {taken.value}
        </button>
      )}
      {open && <Gone key={open.name} script={open} done={gone} refused={(problems) => ((refused.value = problems), void fetch())} />}
      {refused.value.map((d) => (
        <p class="bad" role="alert">
          {d.text}. Next: {d.next}.
        </p>
      ))}
    </form>
  );
}

// Gone deletes a kept script, asking once in place. The text stays in the field, so that Keep brings it back; one that is too long to be
// shown is gone for good.
function Gone({ script, done, refused }: { script: KeptScript; done: () => void; refused: (problems: Diagnostic[]) => void }) {
  const asked = useSignal(false);
  const under = useRef(false); // it is being deleted
  const first = useRef<HTMLButtonElement>(null);
  const file = `${script.name}.script`;
  const turn = (on: boolean) => {
    asked.value = on;
    queueMicrotask(() => first.current?.focus());
  };
  const remove = async () => {
    if (under.current) return;
    under.current = true;
    try {
      await ask('/api/scripts', script.bytes ? { name: script.name, bytes: script.bytes } : { name: script.name, text: script.text }, 'DELETE');
      store.tell({ problems: [plain(`${file} is deleted${script.bytes ? '' : '; its text stays in the field, and Keep brings it back'}`, '')], good: true });
      done();
    } catch (error) {
      under.current = false;
      turn(false);
      refused(told(error));
    }
  };
  if (!asked.value)
    return (
      <div class="row script-gone">
        <button ref={first} type="button" class="quiet" onClick={() => turn(true)}>
          Delete {file}
        </button>
      </div>
    );
  return (
    <div class="row script-gone" role="group" aria-label={`Delete ${file}?`} onKeyDown={(e) => e.key === 'Escape' && (e.stopPropagation(), turn(false))}>
      <span>
        Delete the file {file}? {script.bytes ? `Its ${Math.round(script.bytes / 1024)} KiB cannot be shown here, nor be brought back.` : 'Its text stays in the field.'}
      </span>
      <button ref={first} type="button" onClick={() => void remove()}>
        Delete it
      </button>
      <button type="button" class="quiet" onClick={() => turn(false)}>
        Leave it
      </button>
    </div>
  );
}
