// Names that a field may hold, offered while typing.

import { at, isMapping, type Path } from '../engine/tree';
import type { Job } from '../engine/types';
import { catalogue, parts, wantCatalogue } from '../ui/catalogue';
import { regionNames } from './regions';

export function suggestions(job: Job, path: Path): string[] {
  const last = path.at(-1) ?? '';
  const key = /^\d+$/.test(last) ? (path.at(-2) ?? '') : last; // an item of a list is as its list
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
  }
  return regionNames(job, path, key);
}
