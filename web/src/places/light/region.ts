// Regions of strokes: which groups a text such as tail-lh.arrow.1..3 means, and the shortest text for groups.

import { at, entry, isMapping } from '../../engine/tree';
import type { Job, Lamp, Value } from '../../engine/types';
import type { Pick } from './state';

export interface Part {
  lamp: Lamp;
  groups: number[];
}

// partsOf gives what a stroke goes over on the lamps of its routine; without a region it is all of them.
export function partsOf(lamps: Lamp[], on: Value | undefined): Part[] {
  const texts = typeof on === 'string' ? [on] : Array.isArray(on) ? on.filter((v): v is string => typeof v === 'string') : [];
  return lamps
    .map((lamp) => ({ lamp, groups: texts.length === 0 ? lamp.groups.map((_, i) => i) : [...new Set(texts.flatMap((t) => groupsOf(lamp, t)))].sort((a, b) => a - b) }))
    .filter((p) => p.groups.length > 0);
}

export function groupsOf(lamp: Lamp, text: string): number[] {
  const m = /^(?:(.+?)\.)?([a-z][a-z0-9-]*)(?:\.(\d+)(?:\.\.(\d+))?)?$/.exec(text.trim());
  if (!m) return [];
  const [, head, name, first, last] = m;
  if (head && head !== lamp.name) return [];
  let groups = zoneOf(lamp, name!);
  if (groups.length === 0 && name === lamp.name && !head) groups = lamp.groups.map((_, i) => i);
  if (!first) return groups;
  const a = Number(first);
  const b = Number(last ?? first);
  return groups.slice(Math.min(a, b) - 1, Math.max(a, b));
}

function zoneOf(lamp: Lamp, name: string): number[] {
  const zone = lamp.zones.find((z) => z.name === name);
  if (zone) return zone.groups;
  return lamp.groups.flatMap((g, i) => (g.name === name || g.name.startsWith(name + '.') ? [i] : []));
}

// textOf writes groups as regions; lamps are the routine's, and a name that is meant on one lamp alone has the lamp's before it.
export function textOf(lamps: Lamp[], picks: Pick[], across: boolean): string[] {
  const out: string[] = [];
  for (const lamp of lamps) {
    const mine = new Set(picks.filter((p) => p.lamp === lamp.name).map((p) => p.group));
    if (mine.size === 0) continue;
    const head = (text: string) => (across && lamps.some((l) => l !== lamp && groupsOf(l, text).length > 0) ? `${lamp.name}.${text}` : text);
    const zone = lamp.zones.find((z) => z.groups.length === mine.size && z.groups.every((g) => mine.has(g)));
    if (zone) {
      out.push(head(zone.name));
      continue;
    }
    for (const name of patternsOf(lamp)) {
      const all = zoneOf(lamp, name);
      const places = all.flatMap((g, i) => (mine.has(g) ? [i + 1] : []));
      if (places.length === all.length) out.push(head(name));
      else for (const [a, b] of runs(places)) out.push(head(a === b ? `${name}.${a}` : `${name}.${a}..${b}`));
    }
  }
  return [...new Set(out)];
}

export const patternsOf = (lamp: Lamp) => [...new Set(lamp.groups.map((g) => g.name.replace(/\.\d+$/, '')))];

function runs(places: number[]): [number, number][] {
  const out: [number, number][] = [];
  for (const p of places) {
    const last = out.at(-1);
    if (last && last[1] === p - 1) last[1] = p;
    else out.push([p, p]);
  }
  return out;
}

// bodyOf gives a stroke's kind and what stands in it.
export function bodyOf(j: Job, routine: string, index: number): { kind: string; body: { [key: string]: Value } } | null {
  const one = entry(at(j.tree, ['routines', routine, 'strokes', String(index)]));
  return one ? { kind: one[0], body: isMapping(one[1]) ? one[1] : {} } : null;
}

// litBy gives every group that a routine's strokes go over, each once, with the routines that it calls.
export function litBy(j: Job, routine: string, lamps: Lamp[], within: string[] = []): Pick[] {
  const list = at(j.tree, ['routines', routine, 'strokes']);
  if (!Array.isArray(list) || within.includes(routine)) return [];
  const all = list.flatMap((_, i) => {
    const one = bodyOf(j, routine, i);
    if (!one) return [];
    if (one.kind === 'call') return typeof one.body.routine === 'string' ? litBy(j, one.body.routine, lamps, [...within, routine]) : [];
    return partsOf(lamps, one.body.on).flatMap((p) => p.groups.map((group) => ({ lamp: p.lamp.name, group })));
  });
  return [...new Map(all.map((p) => [`${p.lamp} ${p.group}`, p])).values()];
}
