// What of the lamps can be named at a place of the document.

import { at, entry, type Path } from '../engine/tree';
import type { Job } from '../engine/types';

// regionNames lists zones, patterns, groups and lamps that a value may name; key is the value's, also of an item of a list.
export function regionNames(job: Job, path: Path, key: string): string[] {
  switch (key) {
    case 'zone':
    case 'with':
    case 'without':
      return regions(job, path[1]!).filter((n) => path[2] !== 'zones' || n !== path[3]);
    case 'on':
      if (path[0] === 'outages') return [];
      return at(job.tree, ['routines', path[1]!, 'across']) === undefined ? anywhere(job) : everywhere(job);
    case 'takes':
      return everywhere(job);
  }
  if (path[0] === 'lamps' && path[2] === 'zones') return regions(job, path[1]!).filter((n) => n !== path[3]);
  return [];
}

// anywhere are the regions of all lamps by the names that they have there, and everywhere those with their lamps as well.
const anywhere = (job: Job) => [...new Set(job.lamps.flatMap((l) => regions(job, l.name)))];
const everywhere = (job: Job) => [...anywhere(job), ...job.lamps.flatMap((l) => [l.name, ...regions(job, l.name).map((r) => `${l.name}.${r}`)])];

// regions are the patterns, zones and groups of a lamp; while it is broken, the patterns as they are written.
function regions(job: Job, lamp: string): string[] {
  const l = job.lamps.find((x) => x.name === lamp);
  if (l) return [...new Set([...l.zones.map((z) => z.name), ...l.groups.map((g) => g.name)])];
  const leds = at(job.tree, ['lamps', lamp, 'leds']);
  const names = Array.isArray(leds) ? leds.map((p) => at(entry(p)?.[1], ['group']) ?? at(entry(p)?.[1], ['name'])) : [];
  return [...new Set(names.filter((n): n is string => typeof n === 'string'))];
}
