// Where notes of walks are kept: beside the job, one walk a module, until they are entered or dropped. What the program has not taken yet
// this browser keeps as well, so that neither a reload nor a program that was stopped loses a note.

import { signal } from '@preact/signals';
import { plain, post, Refusal, Silence, told } from '../../engine/api';
import { read, write } from '../../engine/settings';
import type { Walks, WalkNotes } from '../../engine/types';
import { job, state, store } from '../../ui/state';
import type { Wiring } from './map';
import { begin, fitting, type Walk } from './walk';

interface Mine {
  walk: Walk;
  was: Walk; // what the program had when it was begun to be changed here
  taken?: number; // the edition from which on the program tells of it; left out: it has not taken it yet
}

// mine are the walks that were changed here and that the program does not tell of yet, by module.
const mine = signal<Record<string, Mine>>({});
const under = new Set<string>(); // whose notes are on their way

const keyOf = (module: string) => `lampwright.walk ${job.peek()?.path ?? ''} ${module}`;

const there = (module: string): Walk => fromServer(state.value.walks?.walks?.[module]);

// walkOf gives the notes of a module; none yet is a walk at its beginning.
export const walkOf = (w: Wiring): Walk => fitting(mine.value[w.module.name]?.walk ?? there(w.module.name), w);

export function keepWalk(w: Wiring, walk: Walk) {
  const module = w.module.name;
  const m = mine.peek()[module];
  put(module, { walk, was: !m ? there(module) : m.taken === undefined ? m.was : m.walk });
  void send(module);
}

export const dropWalk = (w: Wiring) => keepWalk(w, begin());

// recover takes up what this browser still has of a module and the program does not.
export function recover(w: Wiring) {
  const module = w.module.name;
  if (state.peek().walks === null || mine.peek()[module]) return;
  const left = valid(read(keyOf(module)));
  if (!left) return;
  if (there(module).notes.length > 0) return write(keyOf(module), null); // what is beside the job counts
  keepWalk(w, fitting(left, w));
}

function put(module: string, m: Mine | null) {
  const next = { ...mine.peek() };
  if (m) next[module] = m;
  else delete next[module];
  mine.value = next;
  write(keyOf(module), m && m.walk.notes.length > 0 ? m.walk : null);
}

// send brings a module's notes to the program, the latest as often as they change meanwhile.
async function send(module: string) {
  if (under.has(module)) return;
  under.add(module);
  try {
    for (;;) {
      const m = mine.peek()[module];
      if (!m) return;
      const { edition } = await post<Walks>('/api/walks', { module, was: toServer(m.was), walk: toServer(m.walk) });
      const now = mine.peek()[module];
      if (!now) return;
      if (now.walk !== m.walk) put(module, { walk: now.walk, was: m.walk });
      else {
        put(module, { ...m, taken: edition });
        return letGo();
      }
    }
  } catch (error) {
    if (error instanceof Silence) return; // the line says so, and the notes go when it is open again
    if (error instanceof Refusal && error.stale) put(module, null); // what another window noted is shown, and counts
    store.tell({ problems: error instanceof Refusal && error.stale ? [plain(error.problems[0]!.text, 'the latest note of this window is not taken: look at what stands there now, and go on')] : told(error) });
  } finally {
    under.delete(module);
  }
}

// letGo drops what the program tells of by now.
function letGo() {
  const { walks } = state.peek();
  for (const [module, { taken }] of Object.entries(mine.peek())) if (taken !== undefined && walks && walks.edition >= taken) put(module, null);
}

let line = state.peek().line;
state.subscribe((s) => {
  const came = s.line === 'open' && line !== 'open'; // perhaps a program that was started anew, which counts anew
  line = s.line;
  if (came) for (const module of Object.keys(mine.peek())) void send(module);
  else letGo();
});

export const toServer = (k: Walk): WalkNotes => ({ at: k.at, notes: k.notes.map(({ output, seen }) => (seen === 'nothing' ? { output } : seen === 'more' ? { output, more: true } : { output, lit: seen.lit })) });

export const fromServer = (k: WalkNotes | undefined): Walk =>
  k ? { at: k.at, notes: (k.notes ?? []).map(({ output, lit, more }) => ({ output, seen: more ? 'more' : lit ? { lit } : 'nothing' })) } : begin();

// valid reads what another version of the page, or a hand, may have left there.
function valid(v: any): Walk | null {
  if (!v || typeof v !== 'object' || !Number.isInteger(v.at) || !Array.isArray(v.notes) || v.notes.length === 0) return null;
  const notes = v.notes.filter(
    (n: any) => n && Number.isInteger(n.output) && (n.seen === 'nothing' || n.seen === 'more' || (n.seen && typeof n.seen === 'object' && typeof n.seen.lit === 'string')),
  );
  return { at: v.at, notes };
}
