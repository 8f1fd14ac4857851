// The state of this window, as signals for the views: what the store says, which place and panel are open, what is chosen.

import { batch, computed, effect, signal } from '@preact/signals';
import { get } from '../engine/api';
import { Form, type Schema } from '../engine/schema';
import { dress, keepSettings, readSettings, type Settings } from '../engine/settings';
import { Store, type Message, type State } from '../engine/store';
import type { Path } from '../engine/tree';
import type { Diagnostic } from '../engine/types';

export const store = new Store();

export const state = signal<State>(store.state);
store.watch((s) => (state.value = s));

export const job = computed(() => state.value.job);
export const shown = computed(() => state.value.shown);

export const settings = signal<Settings>(readSettings());
effect(() => {
  dress(settings.value, document.documentElement);
  keepSettings(settings.value);
});
export const set = (part: Partial<Settings>) => (settings.value = { ...settings.value, ...part });

// place is the id of the place that is open; it stands in the address, so that reload and back work.
export const place = signal(location.hash.slice(1).split('/')[0] || 'job');
addEventListener('hashchange', () => (place.value = location.hash.slice(1).split('/')[0] || 'job'));
export const go = (id: string) => {
  if (place.value !== id) location.hash = id;
};

export type Panel = 'inspect' | 'problems' | 'text';
export const panel = signal<Panel | null>(null);

// path is what the inspector shows; textLine is where the text pane is to jump to.
export const path = signal<Path>([]);
export const textLine = signal<{ line: number; column: number } | null>(null);

export function inspect(p: Path) {
  batch(() => {
    path.value = p;
    panel.value = 'inspect';
  });
}

export function toText(line: number, column = 1) {
  batch(() => {
    textLine.value = { line, column };
    panel.value = 'text';
  });
}

export const form = signal<Form | null>(null);
export async function fetchSchema() {
  form.value = new Form(await get<Schema>('/api/schema'));
}

// counts says what stands in the way, by weight.
export const counts = computed(() => {
  const all: Diagnostic[] = job.value ? [...job.value.problems, ...job.value.findings] : [];
  const errors = all.filter((d) => d.severity === 'stop-work').length;
  const cautions = all.filter((d) => d.severity === 'caution').length;
  return { errors, cautions, notes: all.length - errors - cautions };
});

export interface Note extends Message {
  id: number;
}
export const notes = signal<Note[]>([]);
let last = 0;
store.hear((m) => {
  notes.value = [...notes.value.slice(-2), { ...m, id: ++last }];
});
export const dismiss = (id: number) => (notes.value = notes.value.filter((n) => n.id !== id));

export type Dialog = 'palette' | 'settings' | 'keys' | { command: string } | null;
export const dialog = signal<Dialog>(null);
