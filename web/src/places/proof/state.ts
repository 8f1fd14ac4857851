// The state of the place: what is to be pressed, what this machine can, the latest work and what it found.

import { computed, effect, signal } from '@preact/signals';
import { get, post, told } from '../../engine/api';
import { read, write } from '../../engine/settings';
import type { Diagnostic, Task } from '../../engine/types';
import { job, state } from '../../ui/state';
import { latest, resultOf } from './latest';
import type { Found, Here, Kept } from './types';

export type View = 'program' | 'faults';
export const view = signal<View>('program');

// way is what is pressed: the tour, what is typed, or a kept script by its name.
export type Way = { of: 'tour' } | { of: 'typed' } | { of: 'kept'; name: string };
export const way = signal<Way>({ of: 'tour' });

const where = () => `lampwright.proof.script.${job.peek()?.path ?? ''}`; // not what the Signals place keeps
export const typed = signal<string | null>(null); // null: nothing was typed in this window yet
export const typedText = (): string => typed.value ?? read(where()) ?? '';
export function type(text: string) {
  typed.value = text;
  write(where(), text || null);
}

export const here = signal<Here | null>(null);
export const kept = signal<Kept[]>([]);
export const refused = signal<Diagnostic[]>([]); // of the latest order

// look asks what this machine can and which scripts lie beside the job.
export async function look() {
  try {
    [here.value, kept.value] = await Promise.all([get<Here>('/api/proof'), get<Kept[]>('/api/scripts')]);
    const w = way.peek();
    if (w.of === 'kept' && !kept.peek().some((k) => k.name === w.name)) way.value = { of: 'tour' }; // it was deleted
  } catch (error) {
    refused.value = told(error);
  }
}

export const running = computed<Task | null>(() => state.value.tasks.find((t) => !t.ended) ?? null);
export const last = computed(() => ({ proof: latest(state.value.tasks, 'proof'), faults: latest(state.value.tasks, 'faults') }));

// found holds results by the id of their task, for the server that answers now.
const found = signal(new Map<string, Found>());
const asked = new Set<string>();
let line = '';
effect(() => {
  if (state.value.line !== line && state.value.line === 'open') {
    asked.clear(); // perhaps another server, whose ids mean other work
    found.value = new Map();
  }
  line = state.value.line;
  for (const what of ['proof', 'faults'] as const) {
    const t = resultOf(state.value.tasks, what);
    if (!t || asked.has(t.id) || line !== 'open') continue;
    asked.add(t.id);
    void get<Found>(`/api/task/${t.id}`)
      .then((f) => (found.value = new Map(found.peek()).set(t.id, f)))
      .catch(() => asked.delete(t.id));
  }
});

// result gives the latest work of a kind that found something, or null.
export function result(what: Task['what']): Found | null {
  const t = resultOf(state.value.tasks, what);
  return (t && found.value.get(t.id)) ?? null;
}

export const stale = (t: Task) => t.revision !== job.value?.revision;

export async function begin(path: '/api/prove' | '/api/faults', order: object) {
  refused.value = [];
  try {
    await post<Task>(path, order);
  } catch (error) {
    refused.value = told(error);
  }
}

export async function stop(t: Task) {
  try {
    await post<Task>(`/api/task/${t.id}/stop`, {});
  } catch (error) {
    refused.value = told(error);
  }
}

// order is what the choice of presses comes to.
export function order(): { name: string; script: string } {
  const w = way.peek();
  if (w.of === 'tour') return { name: 'tour', script: '' };
  if (w.of === 'typed') return { name: 'typed', script: typedText() };
  return { name: w.name, script: kept.peek().find((k) => k.name === w.name)?.text ?? '' };
}

// onPicture is the script that plays on the picture, and what it shows.
export const onPicture = signal<{ script: string; says: string } | null>(null);
// difference is the one that is looked at, from 0; found or promised is which light the picture has.
export const difference = signal(0);
export const light = signal<'found' | 'promised'>('found');
