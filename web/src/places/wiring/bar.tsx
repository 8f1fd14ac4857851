// The bar: what is chosen, and what can be done with it. With the keyboard alone: type the number, Enter, and the next group is chosen.

import { useEffect, useRef, useState } from 'preact/hooks';
import { many } from '../../ui/words';
import { nameOf, outputOf, wish, type Wiring } from './map';
import { alike, choose, chosen, fill, hand, hang, lastGiven, rotate, runOf, swap, wantsKeys } from './state';

export function Bar({ w }: { w: Wiring }) {
  const c = chosen.value;
  const run = runOf(c);
  return (
    <div class="wiring-bar" role="group" aria-label="What is chosen">
      {!c && <Idle w={w} />}
      {c && 'group' in c && <GroupBar key={`${w.module.name} ${c.group}`} w={w} group={c.group} />}
      {c && 'first' in c && !run && <OutputBar w={w} output={c.first} />}
      {run && <RunBar w={w} run={run} />}
    </div>
  );
}

function Idle({ w }: { w: Wiring }) {
  const first = w.loose[0] ?? 0;
  return (
    <>
      <p class="wiring-bar-text">
        Drag a group to an output, or click one and then the other. <span class="faint">For a run, click its first output and its last.</span>
      </p>
      {w.lamp.groups.length > 0 && (
        <button onClick={() => choose(first, true)} title="Type a number and Enter for one group after the other">
          Type numbers
        </button>
      )}
      {w.loose.length > 1 && w.free.length >= w.loose.length && (
        <button class="strong" onClick={() => void fill(w)}>
          Hang all {w.loose.length} in order
        </button>
      )}
    </>
  );
}

function GroupBar({ w, group }: { w: Wiring; group: number }) {
  const [typed, type] = useState('');
  const [wrong, tell] = useState('');
  const field = useRef<HTMLInputElement>(null);
  useEffect(() => {
    if (wantsKeys.value > 0) field.current?.focus({ preventScroll: true });
  }, [wantsKeys.value]);
  const is = outputOf(w, group);
  const would = wish(w, group, lastGiven.value);
  const to = typed.trim() === '' ? would : Number(typed);
  const last = group === w.lamp.groups.length - 1;
  const go = (g: number) => {
    if (g < 0 || g >= w.lamp.groups.length) chosen.value = null;
    else choose(g, true);
  };
  const enter = (e: Event) => {
    e.preventDefault();
    if (!Number.isInteger(to) || to < 0 || to > w.module.outputs) return tell(`There are outputs 1 to ${w.module.outputs}; 0 takes the group off.`);
    if (typed.trim() === '' && would === 0) return tell('No output is free. Take another group off first.');
    const load = to > 0 ? w.load[to - 1] : null;
    if (load) return tell(`Output ${to} switches the load of ${load}. Use another.`);
    void hang(w, group, to);
    go(group + 1);
  };
  const there = to > 0 && to !== is ? (w.on[to - 1] ?? null) : null;
  return (
    <form class="wiring-bar-form" onSubmit={enter}>
      <span class="wiring-bar-name">
        {nameOf(w, group)} <span class="faint">{is ? `on output ${is}` : 'hangs nowhere'}</span>
      </span>
      <label class="wiring-bar-field">
        <span>to output</span>
        <input
          ref={field}
          inputMode="numeric"
          autocomplete="off"
          data-draft={typed ? 'yes' : undefined}
          aria-invalid={wrong !== ''}
          aria-describedby="wiring-bar-hint"
          placeholder={would ? String(would) : ''}
          value={typed}
          onInput={(e) => (type(e.currentTarget.value), tell(''))}
          onKeyDown={(e) => {
            if (e.key === 'ArrowDown') go(Math.min(group + 1, w.lamp.groups.length - 1));
            else if (e.key === 'ArrowUp') go(Math.max(group - 1, 0));
            else if (e.key === 'Escape') typed ? type('') : (chosen.value = null);
            else return;
            e.preventDefault();
          }}
        />
      </label>
      <button class="strong">Hang</button>
      {is > 0 && (
        <button type="button" onClick={() => (void hang(w, group, 0), (chosen.value = null))}>
          Take off
        </button>
      )}
      <span id="wiring-bar-hint" class={wrong ? 'bad' : 'faint'} role={wrong ? 'alert' : undefined}>
        {wrong || (there !== null ? `${nameOf(w, there)} hangs there: ${is ? `it goes to ${is}` : 'it comes off'}` : last ? 'Enter: the last group' : `Enter, then ${nameOf(w, group + 1)}`)}
      </span>
    </form>
  );
}

function OutputBar({ w, output }: { w: Wiring; output: number }) {
  const g = w.on[output - 1] ?? null;
  const load = w.load[output - 1];
  return (
    <>
      <p class="wiring-bar-text">
        <b class="wiring-bar-name">Output {output}</b> {load ? `switches the load of ${load}; no group can hang there.` : 'Click a group to hang it here, or another output for a run.'}
      </p>
      {g !== null && <button onClick={() => (void hang(w, g, 0), (chosen.value = null))}>Take {nameOf(w, g)} off</button>}
      <Leave />
    </>
  );
}

function RunBar({ w, run }: { w: Wiring; run: [number, number] }) {
  const [a, b] = run;
  return (
    <>
      <p class="wiring-bar-text">
        <b class="wiring-bar-name">
          Outputs {a} to {b}
        </b>{' '}
        <span class="faint">{many(b - a + 1, 'output')}</span>
      </p>
      <button onClick={() => void swap(w, a, b)} title="Key X">
        Swap {a} and {b}
      </button>
      <button onClick={() => void rotate(w, run, -1)} title={`What hangs on ${a + 1} moves to ${a}, and so on; what hangs on ${a} moves to ${b} (key [)`}>
        ↑ Back by one
      </button>
      <button onClick={() => void rotate(w, run, 1)} title={`What hangs on ${a} moves to ${a + 1}, and so on; what hangs on ${b} moves to ${a} (key ])`}>
        ↓ On by one
      </button>
      <Leave />
    </>
  );
}

function Leave() {
  return (
    <button class="quiet" onClick={() => (chosen.value = null)} title="Escape">
      Leave it
    </button>
  );
}

// AlikeNote says where else a change goes.
export function AlikeNote() {
  return alike.value && hand.value ? <p class="wiring-alike">Every change goes to {hand.value.name} as well.</p> : null;
}
