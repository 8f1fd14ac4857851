// What this window holds of the place: which module is shown, what is chosen and pointed at, and the steps of the document it asks for.

import { computed, effect, signal } from '@preact/signals';
import { plain } from '../../engine/api';
import type { Diagnostic } from '../../engine/types';
import { job, shown, store } from '../../ui/state';
import { changed, soldered, type Soldered } from './changes';
import { nameOf, otherHand, outputOf, wiringOf, type Wiring } from './map';

export type View = 'hang' | 'walk' | 'changes';
export const view = signal<View>('hang');

const picked = signal(''); // module, as somebody picked it
export const wiring = computed<Wiring | null>(() => {
  const j = shown.value;
  if (!j) return null;
  return wiringOf(j, picked.value) ?? j.modules.map((m) => wiringOf(j, m.name)).find((w) => w !== null) ?? null;
});
export const hand = computed(() => (shown.value && wiring.value ? otherHand(shown.value, wiring.value.module) : null));

// alike: what is done here is done to the module of the other hand in the same step.
export const alike = signal(false);

// Chosen is a group, an output, or a run of outputs from the first to the last that was clicked.
export type Chosen = { group: number } | { first: number; last: number | null };
export const chosen = signal<Chosen | null>(null);

export const labels = signal<'outputs' | 'groups'>('outputs'); // what the numbers on the lamp are

export const pointed = signal<number | null>(null); // group that is pointed at, on either side
export const pointedOutput = signal<number | null>(null); // output that is pointed at and carries none

export const lastGiven = signal(0); // output that was given last, so that Enter alone goes on after it
export const wantsKeys = signal(0); // counts up whenever the number field is to have the focus

export function showModule(name: string) {
  picked.value = name;
  chosen.value = pointed.value = pointedOutput.value = null;
  lastGiven.value = 0;
}

export function choose(group: number, keys: boolean) {
  chosen.value = { group };
  if (keys) wantsKeys.value++;
}

// runOf gives the ends of a chosen run, the lower first; null when it is none.
export function runOf(c: Chosen | null): [number, number] | null {
  return c && 'first' in c && c.last !== null ? [Math.min(c.first, c.last), Math.max(c.first, c.last)] : null;
}

type Done = Promise<Diagnostic[] | null>;

const step = (w: Wiring, name: string, args: object): Done =>
  store.do(name, { module: w.module.name, ...(alike.peek() && hand.peek() ? { also: hand.peek()!.name } : {}), ...args });

// hang puts a group on an output; 0 takes it off.
export function hang(w: Wiring, group: number, output: number): Done {
  if (output > 0) lastGiven.value = output;
  if (outputOf(w, group) === output && !alike.peek()) return Promise.resolve(null);
  return step(w, 'wire', { group: nameOf(w, group), output });
}

export const swap = (w: Wiring, a: number, b: number): Done => step(w, 'swap', { a, b });
export const rotate = (w: Wiring, [from, to]: [number, number], by: number): Done => step(w, 'rotate', { from, to, by });
export const fill = (w: Wiring): Done => step(w, 'fill', {});
export const enterWalk = (w: Wiring, outputs: Record<string, number>): Done => store.do('rewire', { module: w.module.name, outputs });

// clickGroup and clickOutput: one and then the other hangs the group there; an output and then another is a run.
export function clickGroup(w: Wiring, group: number, keys: boolean) {
  const c = chosen.peek();
  if (c && 'first' in c && c.last === null) {
    chosen.value = null;
    void hang(w, group, c.first);
  } else if (c && 'group' in c && c.group === group) chosen.value = null;
  else choose(group, keys);
}

export function clickOutput(w: Wiring, output: number) {
  const c = chosen.peek();
  if (c && 'group' in c) {
    chosen.value = null;
    void hang(w, c.group, output);
  } else if (c && c.last === null && c.first !== output) chosen.value = { first: c.first, last: output };
  else chosen.value = c && c.last === null ? null : { first: output, last: null };
}

// What was soldered is the wiring that this window saw first. It outlives a reload, and no more.
const keptAs = 'lampwright.soldered';
export const was = signal<Soldered | null>(read());
effect(() => {
  const j = job.value;
  if (!j || j.modules.length === 0 || was.peek()?.path === j.path) return;
  was.value = soldered(j);
});
effect(() => {
  try {
    if (was.value) sessionStorage.setItem(keptAs, JSON.stringify(was.value));
  } catch {
    // a private window: it lasts as long as the page
  }
});

function read(): Soldered | null {
  try {
    const kept = JSON.parse(sessionStorage.getItem(keptAs) ?? 'null');
    return kept && typeof kept.path === 'string' && typeof kept.modules === 'object' ? kept : null;
  } catch {
    return null;
  }
}

export const changes = computed(() => (was.value && shown.value && was.value.path === shown.value.path ? changed(was.value, shown.value) : []));

// copy puts a text on the clipboard and says so.
export async function copy(text: string, what: string) {
  try {
    await navigator.clipboard.writeText(text);
    store.tell({ problems: [plain(`${what} is copied`, '')], good: true });
  } catch {
    store.tell({ problems: [plain('the browser does not let this page copy', `select ${what} and copy it by hand`)] });
  }
}
