// What a new stroke begins with: values that show at once, taken from the size of what it goes over.

import type { Lamp, Point, Value } from '../../engine/types';
import { length, time } from '../../engine/units';
import { boxOf } from '../../picture/scene';
import { partsOf } from './region';

export const kinds: { id: string; name: string; says: string }[] = [
  { id: 'sweep', name: 'Sweep', says: 'lights progressively and stays' },
  { id: 'clear', name: 'Clear', says: 'goes dark progressively' },
  { id: 'pass', name: 'Pass', says: 'a band of light moves through' },
  { id: 'swing', name: 'Swing', says: 'a band moves there and back' },
  { id: 'fade-up', name: 'Fade up', says: 'all of it brightens' },
  { id: 'fade-down', name: 'Fade down', says: 'all of it darkens' },
  { id: 'beat', name: 'Beat', says: 'all of it rises and falls' },
  { id: 'hold', name: 'Hold', says: 'one steady light' },
  { id: 'scatter', name: 'Scatter', says: 'groups light in a shuffled order' },
  { id: 'call', name: 'Call', says: 'another routine as a part of this one' },
];

export const travels = (kind: string) => ['sweep', 'clear', 'pass', 'swing'].includes(kind);

export function newStroke(kind: string, lamps: Lamp[], on: string[], routineMs: number, called: string): Value {
  const region: Value | undefined = on.length === 0 ? undefined : on.length === 1 ? on[0] : on;
  const parts = partsOf(lamps, region);
  const points = parts.flatMap((p) => p.lamp.leds.filter((l) => p.groups.includes(l[2])).map((l): Point => [l[0] + p.lamp.place.x, l[1] + p.lamp.place.y]));
  const box = points.length > 0 ? boxOf(points) : { x0: 0, x1: 200, y0: 0, y1: 0 };
  const extent = Math.max(10, box.x1 - box.x0, (box.y1 - box.y0) / 2);
  const round = (mm: number) => length(mm > 20 ? Math.round(mm / 10) * 10 : Math.max(1, Math.round(mm)));
  const sided = parts.some((p) => p.lamp.place.side !== 'centre') && new Set(lamps.map((l) => l.place.side)).size === 1;
  const whole = time(routineMs >= 10 ? routineMs : 500);
  const head: { [key: string]: Value } = region ? { on: region } : {};
  const way = sided ? 'outboard' : 'right';
  switch (kind) {
    case 'sweep':
    case 'clear':
      return { [kind]: { ...head, direction: way, for: whole, edge: round(extent / 10) } };
    case 'pass':
    case 'swing':
      return { [kind]: { ...head, direction: way, band: round(extent / 4), edge: round(extent / 10), for: whole } };
    case 'scatter':
      return { [kind]: { ...head, for: whole, each: time(Math.max(20, Math.min(600, (routineMs || 500) / 4))) } };
    case 'hold':
      return { [kind]: { ...head, light: '100 %' } };
    case 'call':
      return { [kind]: { routine: called, ...head } };
  }
  return { [kind]: { ...head, for: whole } };
}
