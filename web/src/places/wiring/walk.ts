// The walk: the module lights one output after another, and somebody says what lit. Here is what was said, and what follows from it.
// It is data: what was noted is kept beside the job until it is entered or dropped (walks.ts).

import { nameOf, outputOf, type Wiring } from './map';

// What was seen on an output: one group by its name, nothing, or more than one.
export type Seen = { lit: string } | 'nothing' | 'more';

export interface Walk {
  at: number; // output that is asked for, from 1; 0: none any more
  notes: { output: number; seen: Seen }[]; // in the order in which they were made; of an output the latest counts
}

export const begin = (): Walk => ({ at: 1, notes: [] });

// seenOf gives what counts: the latest note of each output; a group that was seen again later takes its earlier note away.
export function seenOf(walk: Walk): Map<number, Seen> {
  const all = new Map<number, Seen>();
  for (const { output, seen } of walk.notes) {
    if (typeof seen === 'object') for (const [o, s] of all) if (o !== output && typeof s === 'object' && s.lit === seen.lit) all.delete(o);
    all.set(output, seen);
  }
  return all;
}

// expected is what the job says should light on an output.
export function expected(w: Wiring, output: number): Seen {
  const g = w.on[output - 1] ?? null;
  return g === null ? 'nothing' : { lit: nameOf(w, g) };
}

export const same = (a: Seen | undefined, b: Seen) => (typeof a === 'object' && typeof b === 'object' ? a.lit === b.lit : a === b);

// note says what lit on the output that is asked for, and goes on to the next one that was not seen yet.
export function note(walk: Walk, seen: Seen, outputs: number): Walk {
  const next: Walk = { at: 0, notes: [...walk.notes, { output: walk.at, seen }] };
  const all = seenOf(next);
  for (let o = walk.at + 1; o <= outputs && next.at === 0; o++) if (!all.has(o)) next.at = o;
  return next;
}

// back takes the latest note away and asks for its output again.
export function back(walk: Walk): Walk {
  const last = walk.notes.at(-1);
  return last ? { at: last.output, notes: walk.notes.slice(0, -1) } : walk;
}

// lastLit is the output that the module lights now, if the walk was followed; 0 before the first press.
export const lastLit = (walk: Walk) => walk.notes.at(-1)?.output ?? 0;

// presses counts how often to press until the module lights an output: it goes round all outputs, a board of pins round its sixteen.
export function presses(from: number, to: number, registers: number): number {
  const round = registers > 0 ? 8 * registers : 16;
  return (((to - from) % round) + round) % round || round;
}

export interface Result {
  differs: { output: number; job: Seen; seen: Seen }[];
  more: number[]; // outputs that lit more than one group: nothing is known of them
  nowhere: string[]; // groups that lit nowhere, once every output was seen
  displaced: string[]; // groups that were not found, and on whose output another one lit: they will hang nowhere
  open: number[]; // outputs that were not seen
  found: number; // groups
  outputs: Record<string, number>; // for the command rewire
}

// result compares what was seen with what the job says.
export function result(walk: Walk, w: Wiring): Result {
  const seen = seenOf(walk);
  const r: Result = { differs: [], more: [], nowhere: [], displaced: [], open: [], found: 0, outputs: {} };
  for (let o = 1; o <= w.module.outputs; o++) {
    const s = seen.get(o);
    const job = expected(w, o);
    if (s === undefined) r.open.push(o);
    else if (s === 'more') r.more.push(o);
    else if (!same(s, job)) r.differs.push({ output: o, job, seen: s });
    if (typeof s === 'object') {
      r.outputs[s.lit] = o;
      r.found++;
    }
  }
  w.lamp.groups.forEach((g, i) => {
    const o = outputOf(w, i);
    const there = seen.get(o);
    if (o === 0 || r.outputs[g.name] !== undefined) return;
    if (typeof there === 'object') r.displaced.push(g.name);
    if (r.open.length === 0 && there !== 'more') r.nowhere.push(g.name);
  });
  return r;
}

// fitting keeps of notes what the lamp and the board still have.
export function fitting(walk: Walk, w: Wiring): Walk {
  const names = new Set(w.lamp.groups.map((g) => g.name));
  const notes = walk.notes.filter((n) => n.output >= 1 && n.output <= w.module.outputs && (typeof n.seen !== 'object' || names.has(n.seen.lit)));
  return { at: walk.at >= 0 && walk.at <= w.module.outputs ? walk.at : 0, notes };
}

// words says what was seen.
export const words = (s: Seen) => (s === 'nothing' ? 'nothing' : s === 'more' ? 'more than one' : s.lit);
