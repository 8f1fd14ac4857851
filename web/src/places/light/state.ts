// What the Light place remembers while the window is open.

import { effect, signal } from '@preact/signals';
import type { Value } from '../../engine/types';
import { job, path, store } from '../../ui/state';
import type { Other, Showing } from './film';

export const chosen = signal(''); // the routine
export const allowed = signal<string[]>([]); // routines that may flash as fast as they are written
export const showing = signal<Showing>('written');
export const onMs = signal(333); // of the flasher, for a routine at its pace
export const other = signal<Other | null>(null); // what is compared with
export const making = signal(false); // a new routine is being described
export const rowHeight = signal(0); // dots of a line of the band; 0: what fits
export const timeZoom = signal(1);

export interface Pick {
  lamp: string;
  group: number;
}
export const picks = signal<Pick[]>([]); // groups chosen on the lamps, for the next stroke

export interface Edit {
  op: 'set' | 'delete';
  path: string[];
  value?: Value;
}

// draft is what a drag would make of the document; its light is shown, and nothing is done until it is let go.
export const draft = signal<Edit[] | null>(null);

// make turns edits into one step.
export async function make(label: string, edits: Edit[]) {
  draft.value = edits;
  await store.do('edits', { label, edits });
  draft.value = null;
}

let revision = '';
effect(() => {
  const now = job.value?.revision ?? '';
  if (now === revision) return;
  revision = now;
  draft.value = null;
});

// Whoever inspects a routine sees it here.
path.subscribe((p) => {
  if (p[0] === 'routines' && p[1]) chosen.value = p[1];
});

export const strokeAt = (routine: string) => (path.value[0] === 'routines' && path.value[1] === routine && path.value[2] === 'strokes' && path.value[3] !== undefined ? Number(path.value[3]) : null);
