// What the Signals place holds of itself: which view is open, which signal and which group are chosen, and the script.

import { effect, signal } from '@preact/signals';
import { read, write } from '../../engine/settings';
import { at, entry, type Path } from '../../engine/tree';
import type { Job } from '../../engine/types';
import { job } from '../../ui/state';

export type View = 'switches' | 'script' | 'wires';
export const view = signal<View>('switches');

export const chosen = signal(''); // name of the signal or show that is open in the ladder
export const picked = signal<{ lamp: string; group: number } | null>(null); // group of which is asked why
export const wire = signal(''); // input whose wire is drawn

// The script as it is written here; it outlives a reload, for each job its own.
export const text = signal('');
export const called = signal(''); // name under which it is kept
const keptAs = (path: string) => `lampwright.script.${path}`;
let of = '';
effect(() => {
  const path = job.value?.path;
  if (!path || path === of) return;
  of = path;
  const kept = read(keptAs(path));
  text.value = typeof kept?.text === 'string' ? kept.text : '';
  called.value = typeof kept?.name === 'string' ? kept.name : '';
});
effect(() => {
  const kept = { text: text.value, name: called.value };
  if (of) write(keptAs(of), kept.text || kept.name ? kept : null);
});

// pathOf gives where a signal or show stands in the document.
export function pathOf(j: Job, name: string): Path | null {
  for (const section of ['signals', 'shows']) {
    const list = at(j.tree, [section]);
    const i = Array.isArray(list) ? list.findIndex((v) => entry(v)?.[0] === name) : -1;
    if (i >= 0) return [section, String(i)];
  }
  return null;
}

// namesIn lists the signals or shows as the document has them, which may be more than could be understood.
export function namesIn(j: Job, section: 'signals' | 'shows'): string[] {
  const list = at(j.tree, [section]);
  return Array.isArray(list) ? list.map((v) => entry(v)?.[0] ?? '') : [];
}

export const seed = 1; // decides how contacts chatter
