// The wiring of one module as the place shows it: what hangs on each output, what hangs nowhere, what is free. Nothing is changed here.

import type { Job, Lamp, Module } from '../../engine/types';

export interface Wiring {
  module: Module;
  lamp: Lamp;
  on: (number | null)[]; // the group on output i + 1
  load: (string | null)[]; // what output i + 1 loads for the car's lamp check
  loose: number[]; // groups that hang nowhere
  free: number[]; // outputs, from 1
}

export function wiringOf(job: Job, name: string): Wiring | null {
  const module = job.modules.find((m) => m.name === name);
  const lamp = job.lamps.find((l) => l.name === module?.lamp);
  if (!module || !lamp) return null;
  const on: (number | null)[] = Array(module.outputs).fill(null);
  const load: (string | null)[] = Array(module.outputs).fill(null);
  const loose: number[] = [];
  for (const l of module.loads ?? []) if (l.output <= load.length) load[l.output - 1] = l.name;
  lamp.groups.forEach((_, g) => {
    const o = module.output[g] ?? 0;
    if (o < 1 || o > on.length) loose.push(g);
    else on[o - 1] = g;
  });
  const free = on.flatMap((g, i) => (g === null && load[i] === null ? [i + 1] : []));
  return { module, lamp, on, load, loose, free };
}

export const outputOf = (w: Wiring, group: number) => w.module.output[group] ?? 0;

export const nameOf = (w: Wiring, group: number) => w.lamp.groups[group]?.name ?? '';

// otherHand is the module of the lamp that is this one's opposite hand, or whose opposite hand this is.
export function otherHand(job: Job, m: Module): Module | null {
  const lamp = job.lamps.find((l) => l.name === m.lamp);
  const other = job.lamps.find((l) => l !== lamp && (l.name === lamp?.oppositeOf || l.oppositeOf === m.lamp));
  return job.modules.find((x) => x.lamp === other?.name) ?? null;
}

// runs writes numbers the short way: 1–4, 7.
export function runs(numbers: number[]): string {
  const parts: string[] = [];
  for (let i = 0; i < numbers.length; ) {
    let k = i;
    while (k + 1 < numbers.length && numbers[k + 1] === numbers[k]! + 1) k++;
    parts.push(k - i > 1 ? `${numbers[i]}–${numbers[k]}` : numbers.slice(i, k + 1).join(', '));
    i = k + 1;
  }
  return parts.join(', ');
}

// wish is the output that a group would take when only Enter is pressed: its own, else the next free one after the last that was given.
export function wish(w: Wiring, group: number, last: number): number {
  return outputOf(w, group) || (w.free.find((o) => o > last) ?? w.free[0] ?? 0);
}

// registers splits outputs into eights, as they sit on the board.
export function registers(outputs: number): { first: number; last: number }[] {
  const all = [];
  for (let first = 1; first <= outputs; first += 8) all.push({ first, last: Math.min(first + 7, outputs) });
  return all;
}

// short is a group's name within its pattern: 3 of arrow.3, and d1 of d1.
export function short(name: string): { pattern: string; member: string } {
  const dot = name.lastIndexOf('.');
  return dot > 0 ? { pattern: name.slice(0, dot), member: name.slice(dot + 1) } : { pattern: '', member: name };
}
