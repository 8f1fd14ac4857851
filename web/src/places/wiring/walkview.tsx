// The walk: the module has its walk program; each press lights the next output, and here it is said what lit.

import { useEffect, useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';
import { inText } from '../../engine/actions';
import { offer } from '../../engine/actions';
import { many } from '../../ui/words';
import { LampPicture } from './lamp';
import type { Callout, Tag } from './labels';
import { nameOf, outputOf, type Wiring } from './map';
import { GroupChip, Outputs, type Cell } from './outputs';
import { copy, pointed } from './state';
import { WalkEnd } from './walkend';
import { dropWalk, keepWalk, walkOf } from './walks';
import { back, expected, lastLit, note, presses, result, same, seenOf, words, type Seen, type Walk as Notes } from './walk';

// Levels of the picture: what was seen is dim, what is still to be found is clear, what is expected now is full.
const [seenLevel, openLevel, full] = [40, 120, 255];

export function Walk({ w, entered }: { w: Wiring; entered: () => void }) {
  const walk = walkOf(w);
  const seen = useMemo(() => seenOf(walk), [walk]);
  const r = useMemo(() => result(walk, w), [walk, w]);
  const [ended, end] = useState<boolean | null>(null); // null: it ends when everything is found
  const all = r.found === w.lamp.groups.length && w.lamp.groups.length > 0;
  const done = walk.at === 0 || (ended ?? all);
  const want = walk.at > 0 ? expected(w, walk.at) : 'nothing';
  const wanted = typeof want === 'object' ? w.lamp.groups.findIndex((g) => g.name === want.lit) : -1;

  const set = (next: Notes) => keepWalk(w, next);
  const say = (s: Seen) => {
    if (done) return;
    set(note(walk, s, w.module.outputs));
    end(null);
  };
  const stepBack = () => {
    if (walk.notes.length === 0) return;
    set(back(walk));
    end(false);
  };
  const goTo = (output: number) => {
    set({ ...walk, at: output });
    end(false);
  };

  // The keys act on what stands there when they are pressed, however fast they come.
  const now = useRef({ say, stepBack, want, done, notes: 0 });
  now.current = { say, stepBack, want, done, notes: walk.notes.length };
  useEffect(
    () =>
      offer(
        { id: 'walk-expected', says: 'Walk: it lit as the job says', keys: ['Enter'], ready: () => !now.current.done, run: () => now.current.say(now.current.want) },
        { id: 'walk-nothing', says: 'Walk: nothing lit', keys: ['N'], ready: () => !now.current.done, run: () => now.current.say('nothing') },
        { id: 'walk-more', says: 'Walk: more than one lit', keys: ['M'], ready: () => !now.current.done, run: () => now.current.say('more') },
        { id: 'walk-back', says: 'Walk: step back', keys: ['Backspace'], ready: () => now.current.notes > 0, run: () => now.current.stepBack() },
      ),
    [],
  );

  const where = useMemo(() => new Map([...seen].flatMap(([o, s]) => (typeof s === 'object' ? [[s.lit, o] as const] : []))), [seen]);
  const tags = useMemo(() => w.lamp.groups.map((g): Tag => ({ text: where.has(g.name) ? String(where.get(g.name)) : '', hollow: false })), [w, where]);
  const light = w.lamp.groups.map((g, i) => (i === pointed.value || (i === wanted && !done) ? full : where.has(g.name) ? seenLevel : openLevel));
  const callouts = useMemo(() => {
    const list: Callout[] = [];
    if (wanted >= 0 && !done) list.push({ group: wanted, text: `${nameOf(w, wanted)} expected` });
    if (pointed.value !== null && pointed.value !== wanted) list.push({ group: pointed.value, text: nameOf(w, pointed.value) });
    return list;
  }, [w, wanted, done, pointed.value]);

  const cell = (o: number): Cell => {
    const s = seen.get(o);
    const job = expected(w, o);
    const g = w.on[o - 1] ?? null;
    const differs = s !== undefined && !same(s, job);
    const now = o === walk.at && !done;
    return {
      look: [now ? 'chosen' : '', s === undefined && !now ? 'free' : ''].join(' '),
      pressed: now,
      says: s === undefined ? 'not seen yet' : differs ? `the job says ${words(job)}` : 'as the job says',
      shows:
        s === undefined ? (
          <span class="faint">{g !== null ? `${nameOf(w, g)} ?` : w.load[o - 1] ? `load ${w.load[o - 1]}` : '–'}</span>
        ) : (
          <span class={differs ? 'caution' : 'good'}>
            {differs ? '≠ ' : '✓ '}
            {typeof s === 'object' ? s.lit : s === 'more' ? 'several' : 'nothing'}
          </span>
        ),
    };
  };

  return (
    <>
      <LampPicture
        w={w}
        tags={tags}
        light={light}
        callouts={callouts}
        says={(g) => `${nameOf(w, g)} ${where.has(nameOf(w, g)) ? `lit on output ${where.get(nameOf(w, g))}` : 'not found yet'}, the job says ${outputOf(w, g) || 'no output'}`}
        over={(g) => (pointed.value = g)}
        pick={(g) => g !== null && say({ lit: nameOf(w, g) })}
      />
      <div class="wiring-side">
        {done ? (
          <WalkEnd w={w} walk={walk} r={r} goTo={goTo} back={stepBack} entered={entered} drop={() => (dropWalk(w), end(null))} />
        ) : (
          <Question w={w} walk={walk} want={want} say={say} back={stepBack} end={() => end(true)} />
        )}
        <Outputs w={w} label={`What lit on the outputs of ${w.module.name}`} cell={cell} press={goTo} over={(o) => (pointed.value = o === null ? null : (w.on[o - 1] ?? null))} />
      </div>
    </>
  );
}

function Question({ w, walk, want, say, back, end }: { w: Wiring; walk: Notes; want: Seen; say: (s: Seen) => void; back: () => void; end: () => void }) {
  const [typed, type] = useState('');
  const first = useRef<HTMLButtonElement>(null);
  // Enter must mean the answer that stands there, wherever the last one was given.
  useLayoutEffect(() => {
    if (!inText(document.activeElement)) first.current!.focus({ preventScroll: true });
    document.querySelector(`.outputs [data-output="${walk.at}"]`)?.scrollIntoView({ block: 'nearest' });
  }, [walk]);
  const load = w.load[walk.at - 1];
  const g = typeof want === 'object' ? w.lamp.groups.findIndex((x) => x.name === want.lit) : -1;
  const command = `${w.module.load ?? ''} --walk`;
  const other = (e: Event) => {
    e.preventDefault();
    if (w.lamp.groups.some((x) => x.name === typed.trim())) {
      say({ lit: typed.trim() });
      type('');
    }
  };
  return (
    <div class="walk">
      {walk.notes.length === 0 && w.module.load && (
        <div class="walk-before">
          <p>Write the walk into the module, and give it power. Nothing lights yet.</p>
          <p class="command">
            <code>{command}</code>
            <button class="quiet" onClick={() => void copy(command, 'the command')}>
              Copy
            </button>
          </p>
        </div>
      )}
      <div class="walk-now" role="status">
        <p class="walk-number">
          <span class="faint">Output</span> <b>{walk.at}</b> <span class="faint">of {w.module.outputs}</span>
        </p>
        <p class="walk-says">
          <b>{press(walk, w)}</b> Then click on the lamp what lit.
          <br />
          The job says: {g >= 0 ? <GroupChip w={w} group={g} /> : load ? `nothing; it switches the load of ${load}` : 'nothing'}
        </p>
      </div>
      <div class="walk-answers">
        <button ref={first} class="strong large" onClick={() => say(want)} title="Enter">
          {g >= 0 ? `${nameOf(w, g)} lit` : 'Nothing lit'} <kbd>Enter</kbd>
        </button>
        {g >= 0 && (
          <button class="large" onClick={() => say('nothing')} title="Key N">
            Nothing lit
          </button>
        )}
        <button class="large" onClick={() => say('more')} title="Key M">
          More than one lit
        </button>
      </div>
      <form class="walk-foot" onSubmit={other}>
        <input class="walk-typed" list="walk-groups" aria-label="Another group that lit, by its name" placeholder="or type what lit" value={typed} data-draft={typed ? 'yes' : undefined} onInput={(e) => type(e.currentTarget.value)} />
        <datalist id="walk-groups">
          {w.lamp.groups.map((x) => (
            <option value={x.name} />
          ))}
        </datalist>
        <span class="status-fill" />
        <button type="button" class="quiet" aria-disabled={walk.notes.length === 0} onClick={back} title="Backspace">
          Step back
        </button>
        <button type="button" class="quiet" aria-disabled={walk.notes.length === 0} onClick={() => walk.notes.length > 0 && end()}>
          See what differs
        </button>
      </form>
      {walk.notes.length > 0 && (
        <p class="faint walk-kept">
          {many(walk.notes.length, 'note is', 'notes are')} kept beside the job. If the module lost power, press {many(walk.at, 'time')} instead.
        </p>
      )}
    </div>
  );
}

// press says how often to press until the output in question lights.
function press(walk: Notes, w: Wiring): string {
  const from = lastLit(walk);
  if (from === 0) return walk.at === 1 ? 'Press any input once.' : `Press any input ${walk.at} times.`;
  if (from === walk.at) return 'Do not press: it is lit.';
  const n = presses(from, walk.at, w.module.registers);
  return n === 1 ? 'Press once.' : `Press ${n} times.`;
}
