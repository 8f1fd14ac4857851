// Where notes of walks are kept: in this browser, one walk a module of a job, until they are entered or dropped.

import { signal } from '@preact/signals';
import { read, write } from '../../engine/settings';
import type { Wiring } from './map';
import { begin, fitting, type Walk } from './walk';

const keyOf = (path: string, module: string) => `lampwright.walk ${path} ${module}`;

const kept = signal<Record<string, Walk>>({});

// walkOf gives the notes of a module; none yet is a walk at its beginning.
export function walkOf(path: string, w: Wiring): Walk {
  const key = keyOf(path, w.module.name);
  const there = kept.value[key] ?? valid(read(key));
  return there ? fitting(there, w) : begin();
}

export function keepWalk(path: string, w: Wiring, walk: Walk) {
  const key = keyOf(path, w.module.name);
  write(key, walk.notes.length > 0 ? walk : null);
  kept.value = { ...kept.value, [key]: walk };
}

export const dropWalk = (path: string, w: Wiring) => keepWalk(path, w, begin());

// valid reads what another version of the page, or a hand, may have left there.
function valid(v: any): Walk | null {
  if (!v || typeof v !== 'object' || !Number.isInteger(v.at) || !Array.isArray(v.notes)) return null;
  const notes = v.notes.filter(
    (n: any) => n && Number.isInteger(n.output) && (n.seen === 'nothing' || n.seen === 'more' || (n.seen && typeof n.seen === 'object' && typeof n.seen.lit === 'string')),
  );
  return { at: v.at, notes };
}
