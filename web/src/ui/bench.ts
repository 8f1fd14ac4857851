// The bench as this window sees it: one line, open while a view needs it; its light as a film of one picture for CarPicture.

import { computed, signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { BenchLine, type BenchState, type Turn, type Turned } from '../engine/bench';
import { Calm } from '../engine/calm';
import type { Film } from '../engine/film';
import { Player } from '../engine/player';
import { store } from './state';

export const bench = signal<BenchState | null>(null);
export const benchOpen = signal(false); // the line is open
export const benchFilm = signal<Film | null>(null);
export const benchOwners = signal<Uint8Array>(new Uint8Array(0));
export const benchPlayer = new Player();

// Something flashes faster than may be shown, and is held; or it was asked for.
export const tooFast = signal(false);
export const fastAllowed = signal(false);
const heldForMs = 4000; // how long it is said after it was held last

let calm = new Calm(0);
let groupsOf = '';
let quiet = 0;

const line = new BenchLine({
  state: (s) => {
    const groups = JSON.stringify(s.lamps);
    if (groups !== groupsOf || !benchFilm.peek()) {
      groupsOf = groups;
      benchFilm.value = filmOf(s.lamps);
    }
    bench.value = s;
  },
  owners: (o) => (benchOwners.value = o),
  light: (levels) => {
    if (levels.length !== calm.shown.length) return;
    const now = performance.now();
    calm.allowed = fastAllowed.peek();
    calm.take(levels, now);
    if (calm.heldAt === now && !tooFast.peek()) tooFast.value = true;
    if (calm.heldAt === now) {
      clearTimeout(quiet);
      quiet = window.setTimeout(() => (tooFast.value = false), heldForMs);
    }
    benchPlayer.seek(0);
  },
  line: (open) => {
    benchOpen.value = open;
    if (!open) bench.value = null;
  },
});

// filmOf makes a film of one picture, which the light is written into as it comes.
function filmOf(lamps: { name: string; groups: number }[]): Film {
  const first = new Map<string, number>();
  let groups = 0;
  for (const l of lamps) {
    first.set(l.name, groups);
    groups += l.groups;
  }
  calm = new Calm(groups);
  benchPlayer.load(1);
  return { stepMs: 16, frames: 1, groups, first, lamps, levels: calm.shown, owners: null };
}

let users = 0;
export const benchUsed = signal(false);

// useBench keeps the line open as long as a view lives.
export function useBench() {
  useEffect(() => {
    if (++users === 1) {
      line.begin();
      benchUsed.value = true;
    }
    return () => {
      if (--users > 0) return;
      holds.clear();
      line.end();
      benchOpen.value = benchUsed.value = false;
      bench.value = null;
      fastAllowed.value = tooFast.value = false;
    };
  }, []);
}

// turn does something to the switches, and tells why it could not be done.
export async function turn(t: Turn): Promise<Turned> {
  const done = await line.turn(t);
  if (done.problems) store.tell({ problems: done.problems });
  return done;
}

// What this window presses, for as long as a finger or a key does.
const holds = new Set<string>();
const sendHolds = () => void turn({ held: [...holds] });

export function hold(inputs: string[]) {
  for (const i of inputs) holds.add(i);
  sendHolds();
}

export function letGo(inputs: string[]) {
  if (!inputs.some((i) => holds.has(i))) return;
  for (const i of inputs) holds.delete(i);
  sendHolds();
}

export function letAllGo() {
  if (holds.size === 0) return;
  holds.clear();
  sendHolds();
}
addEventListener('blur', letAllGo);
document.addEventListener('visibilitychange', () => document.hidden && letAllGo());

// troubled lists the modules that do not simply run, in words.
export const troubled = computed(() => (bench.value?.modules ?? []).filter((m) => m.state !== 'runs').map((m) => ({ ...m, says: stateWords[m.state] })));

export const stateWords: Record<string, string> = {
  off: 'has no supply',
  starting: 'is starting',
  plain: 'shows plain signals while it checks its program',
  runs: 'runs',
  halved: 'runs at half light',
  asleep: 'is asleep; any input wakes it',
};
