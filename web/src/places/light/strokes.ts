// Strokes of a routine as bars on a time ruler, read from the document's tree.

import { at, entry, isMapping, written } from '../../engine/tree';
import type { Job, Value } from '../../engine/types';
import { milliseconds } from '../../engine/units';

export interface Bar {
  index: number;
  kind: string;
  on: string; // the region, in words
  start: number; // ms
  length: number; // ms, of one run
  times: number;
  every: number; // ms from one beginning to the next
  open: boolean; // it lasts to the end of the routine
  meets: string;
}

export function barsOf(j: Job, routine: string, routineMs: number): Bar[] {
  const list = at(j.tree, ['routines', routine, 'strokes']);
  if (!Array.isArray(list)) return [];
  return list.flatMap((v, index) => {
    const one = entry(v);
    if (!one) return [];
    const [kind, body] = one;
    const has = (k: string): string | undefined => {
      const w: Value | undefined = isMapping(body) ? body[k] : undefined;
      return typeof w === 'string' ? w : undefined;
    };
    const start = milliseconds(has('start')) ?? 0;
    const given = milliseconds(has('for'));
    const whole = j.routines.find((r) => r.name === has('routine'))?.ms;
    const length = given ?? (kind === 'call' && whole ? whole : Math.max(0, routineMs - start));
    const times = Math.max(1, Number(has('times') ?? 1) || 1);
    const every = milliseconds(has('every')) ?? length;
    const on = isMapping(body) ? (kind === 'call' ? (has('routine') ?? '') : written(body.on).replace(/^\[|\]$/g, '')) : '';
    return [{ index, kind, on, start, length, times, every, open: given === null, meets: has('meets') ?? 'over' }];
  });
}

export const strokePath = (routine: string, bar: Bar) => ['routines', routine, 'strokes', String(bar.index)];

// endOf is when a bar's last run ends.
export const endOf = (b: Bar) => b.start + (b.times - 1) * b.every + b.length;
