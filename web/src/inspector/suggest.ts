// Names that a field may hold, offered while typing.

import { at, entry, isMapping, type Path } from '../engine/tree';
import type { Job } from '../engine/types';
import { catalogue, parts, wantCatalogue } from '../ui/catalogue';

export function suggestions(job: Job, path: Path): string[] {
  const key = path.at(-1) ?? '';
  const keys = (section: string) => {
    const v = at(job.tree, [section]);
    return isMapping(v) ? Object.keys(v).filter((k) => k !== 'note') : [];
  };
  switch (key) {
    case 'lamp':
    case 'across':
    case 'opposite-hand-of':
      return keys('lamps');
    case 'routine':
    case 'arrive':
    case 'stay':
    case 'leave':
      return keys('routines');
    case 'input':
    case 'shares':
    case 'reference':
    case 'only':
    case 'sense':
    case 'not-while':
    case 'only-while':
      return keys('inputs');
    case 'board':
      wantCatalogue();
      return [...new Set([...job.modules.map((m) => m.board), ...catalogue.value.boards.map((b) => b.name)])];
    case 'same-image-as':
      return keys('modules');
    case 'part':
      wantCatalogue();
      return parts.value.map((p) => p.name);
    case 'wire':
      return job.modules.flatMap((m) => m.inputs.map((i) => `${m.name}.${i}`));
    case 'along':
      return [...new Set(job.lamps.flatMap((l) => l.paths.map((p) => p.name)))];
    case 'on':
    case 'zone':
    case 'with':
    case 'without':
      return path[0] === 'lamps' ? regions(job, path[1]!) : [...new Set(job.lamps.flatMap((l) => regions(job, l.name)))];
    case 'takes':
      return job.lamps.flatMap((l) => [l.name, ...regions(job, l.name).map((r) => `${l.name}.${r}`)]);
  }
  return [];
}

// regions are the zones and patterns of a lamp.
function regions(job: Job, lamp: string): string[] {
  const l = job.lamps.find((x) => x.name === lamp);
  const leds = at(job.tree, ['lamps', lamp, 'leds']);
  const patterns = Array.isArray(leds) ? leds.map((p) => at(entry(p)?.[1], ['name'])).filter((n): n is string => typeof n === 'string') : [];
  return [...new Set([...(l?.zones.map((z) => z.name) ?? []), ...patterns])];
}
