// What the car or a remote may ask for and nothing answers yet: one press adds its wire, a plain signal or show on it, and its light.

import { useRef } from 'preact/hooks';
import { words } from '../../engine/bench';
import type { Diagnostic } from '../../engine/types';
import { useAnswer } from '../../ui/answer';
import { job, store } from '../../ui/state';
import { sentence } from '../../ui/words';
import type { Section } from './ladder';

// Ask is what could be asked for, as the program has tried it on the latest revision.
export interface Ask {
  input: string;
  show: boolean;
  also: string; // comes with it
  problems: Diagnostic[]; // why it would be refused
}

export const useAsks = () => useAnswer<Ask[]>('/api/asks', job.value?.problems.some((d) => d.severity === 'stop-work') ? '' : (job.value?.revision ?? ''), []);

const called = (input: string) => words[input] ?? input;

const reasonOf = ({ problems: [d] }: Ask) => `${sentence(d!.text)}${d!.next ? ` ${sentence(d!.next)}` : ''}`;

export function Asks({ section, asks }: { section: Section; asks: Ask[] }) {
  const answered = new Set(job.value!.layers.map((l) => l.input)); // the list may be of the revision before
  const own = asks.filter((a) => a.show === (section === 'shows') && !answered.has(a.input));
  const can = own.filter((a, i) => a.problems.length === 0 && !own.slice(0, i).some((b) => b.also === a.input));
  const cannot = own.filter((a) => a.problems.length > 0);
  const reasons = [...new Set(cannot.map(reasonOf))]; // most are told of several
  const under = useRef(''); // it is being added
  if (own.length === 0) return null;
  const add = async (e: MouseEvent, input: string) => {
    if (under.current === input || e.detail > 1) return; // of a double click the second goes to what has moved under the hand
    const list = (e.currentTarget as HTMLElement).closest('section');
    under.current = input;
    const problems = await store.do('ask', { input });
    under.current = '';
    if (problems) return;
    queueMicrotask(() => {
      const rungs = [...(list?.querySelectorAll<HTMLElement>('.rung-head') ?? [])];
      const came = rungs.find((r) => job.peek()?.layers.some((l) => l.name === r.dataset.rung && l.input === input));
      if (document.activeElement === document.body) came?.focus({ preventScroll: true }); // what was pressed is gone
    });
  };
  const says = section === 'signals' ? 'Add a signal for' : 'Add a show on';
  return (
    <>
      {can.length > 0 && (
        <div class="asks" role="group" aria-label={says}>
          <span class="faint">{says}</span>
          {can.map((a) => (
            <button
              key={a.input}
              class="chip"
              data-ask={a.input}
              title={a.also ? 'Adds both wires and a plain answer to each, in one step: the one image answers both' : 'Adds its wire, and a plain answer to it, in one step'}
              onClick={(e) => void add(e, a.input)}
            >
              {called(a.input)}
              {a.also && ` + ${called(a.also)}`}
            </button>
          ))}
        </div>
      )}
      {reasons.map((why) => (
        <p key={why} class="faint asks-not" data-asknot={cannot.filter((a) => reasonOf(a) === why).map((a) => a.input).join(' ')}>
          <b>{cannot.filter((a) => reasonOf(a) === why).map((a) => called(a.input)).join(', ')}</b> cannot be added. {why}
        </p>
      ))}
    </>
  );
}
