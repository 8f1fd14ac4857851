// What changed against what was soldered: the wiring as it was before the first change, kept by this window, against the wiring now.

import type { Job } from '../../engine/types';
import { nameOf, wiringOf } from './map';

// Soldered is the wiring of a job as it was: for each module the name of the group on each output, "" where none hangs.
export interface Soldered {
  path: string;
  revision: string;
  modules: Record<string, string[]>;
}

export interface Change {
  output: number;
  before: string; // group, "" for nothing
  after: string;
}

export interface Changed {
  module: string;
  lamp: string;
  board: string;
  changes: Change[];
}

export function soldered(job: Job): Soldered {
  const modules: Record<string, string[]> = {};
  for (const m of job.modules) modules[m.name] = hanging(job, m.name);
  return { path: job.path, revision: job.revision, modules };
}

function hanging(job: Job, module: string): string[] {
  const w = wiringOf(job, module);
  return w ? w.on.map((g) => (g === null ? '' : nameOf(w, g))) : [];
}

// changed lists the modules whose wiring is another one now. A module that was not there before has nothing soldered.
export function changed(was: Soldered, job: Job): Changed[] {
  return job.modules.flatMap((m) => {
    const before = was.modules[m.name];
    if (!before) return [];
    const after = hanging(job, m.name);
    const changes: Change[] = [];
    for (let i = 0; i < Math.max(before.length, after.length); i++) {
      const b = before[i] ?? '';
      const a = after[i] ?? '';
      if (a !== b) changes.push({ output: i + 1, before: b, after: a });
    }
    return changes.length > 0 ? [{ module: m.name, lamp: m.lamp, board: m.board, changes }] : [];
  });
}

export const inWords = (c: Change) => `output ${c.output}: ${c.before || 'nothing'} → ${c.after || 'nothing'}`;

// asText is the list for the bench.
export function asText(job: Job, was: Soldered, list: Changed[]): string {
  const file = job.path.split(/[\\/]/).pop() ?? '';
  const lines = [`${job.title || 'Untitled job'}: wiring, what changed against what was soldered`, `${file}, revision ${was.revision} → ${job.revision}`];
  for (const c of list) lines.push('', `${c.module} (lamp ${c.lamp}, board ${c.board})`, ...c.changes.map((x) => '  ' + inWords(x)));
  if (list.length === 0) lines.push('', 'Nothing has changed.');
  return lines.join('\n') + '\n';
}
