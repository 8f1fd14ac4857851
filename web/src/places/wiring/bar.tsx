// The bar: what is chosen, and what can be done with it. With the keyboard alone: type the number, Enter, and the next group is chosen.

import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import { job, panel } from '../../ui/state';
import { sentence } from '../../ui/words';
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
    <div class="wiring-bar-row">
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
    </div>
  );
}

function GroupBar({ w, group }: { w: Wiring; group: number }) {
  const [typed, type] = useState('');
  const [wrong, tell] = useState('');
  const field = useRef<HTMLInputElement>(null);
  useLayoutEffect(() => {
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
    <form onSubmit={enter}>
      <div class="wiring-bar-row">
        <span class="wiring-bar-name">
          {nameOf(w, group)} <span class="faint">{is ? `on output ${is}` : 'hangs nowhere'}</span>
        </span>
        <span class="status-fill" />
        <label class="wiring-bar-field">
          <span class="wiring-bar-to">to output</span>
          <input
            ref={field}
            aria-label={`Output for ${nameOf(w, group)}`}
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
        <Leave />
      </div>
      <p id="wiring-bar-hint" class={`wiring-bar-hint ${wrong ? 'bad' : 'faint'}`} role={wrong ? 'alert' : undefined}>
        {wrong || (there !== null ? `${nameOf(w, there)} hangs on ${to}: ${is ? `it goes to ${is}` : 'it comes off'}` : `${would ? `Enter alone: ${would}. ` : ''}${last ? 'This is the last group.' : `Then comes ${nameOf(w, group + 1)}.`}`)}
      </p>
    </form>
  );
}

function OutputBar({ w, output }: { w: Wiring; output: number }) {
  const g = w.on[output - 1] ?? null;
  const load = w.load[output - 1];
  return (
    <>
      <div class="wiring-bar-row">
        <span class="wiring-bar-name">
          Output {output} <span class="faint">{g !== null ? `carries ${nameOf(w, g)}` : load ? `switches the load of ${load}` : 'is free'}</span>
        </span>
        <span class="status-fill" />
        {g !== null && <button onClick={() => (void hang(w, g, 0), (chosen.value = null))}>Take {nameOf(w, g)} off</button>}
        <Leave />
      </div>
      <p class="wiring-bar-hint faint">{load ? 'No group can hang there.' : 'Click a group to hang it here, or another output for a run.'}</p>
    </>
  );
}

function RunBar({ w, run }: { w: Wiring; run: [number, number] }) {
  const [a, b] = run;
  return (
    <>
      <div class="wiring-bar-row">
        <span class="wiring-bar-name">
          Outputs {a} to {b}
        </span>
        <span class="status-fill" />
        <button onClick={() => void swap(w, a, b)} title="Key X">
          Swap {a} and {b}
        </button>
        <button onClick={() => void rotate(w, run, -1)} title="Key [">
          ↑ Back<span class="by-one"> by one</span>
        </button>
        <button onClick={() => void rotate(w, run, 1)} title="Key ]">
          ↓ On<span class="by-one"> by one</span>
        </button>
        <Leave />
      </div>
      <p class="wiring-bar-hint faint">
        Back: what hangs on {a + 1} goes to {a}, and {a} to {b}. On: {a} goes to {a + 1}, and {b} to {a}.
      </p>
    </>
  );
}

function Leave() {
  return (
    <button type="button" class="quiet" onClick={() => (chosen.value = null)} aria-label="Choose nothing" title="Choose nothing (Escape)">
      ✕
    </button>
  );
}

// AlikeNote says where else a change goes.
export function AlikeNote() {
  return alike.value && hand.value ? <p class="wiring-alike">Every change goes to {hand.value.name} as well.</p> : null;
}

// Stop says what stops work at this module or the one that shares its image, for most of that is mended here.
export function Stop({ w }: { w: Wiring }) {
  const names = [w.module.name, hand.value?.name];
  const d = job.value?.problems.find((p) => p.severity === 'stop-work' && p.place?.path?.[0] === 'modules' && names.includes(p.place.path[1]));
  if (!d) return null;
  return (
    <p class="wiring-stop" role="status">
      <span class="bad">
        ✕ <b>{sentence(d.text)}</b>
      </span>
      <button class="quiet" onClick={() => (panel.value = 'problems')}>
        Why
      </button>
    </p>
  );
}
