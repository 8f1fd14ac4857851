// Proofs in plain words.

import type { Fault, Loss, Proof, Show } from './types';
import { many } from '../../ui/words';

export const seconds = (ms: number) => `${(ms / 1000).toFixed(ms < 10_000 ? 1 : 0)} s`;

// moment says when something differs, to half a millisecond.
export const moment = (ms: number) => `${(ms / 1000).toFixed(4).replace(/0$/, '')} s`;

// lasted says for how long, and how much of that time, a difference was there.
export function lasted(s: Show): string {
  const ms = s.toMs - s.fromMs;
  const share = s.refreshes * 0.5;
  const whole = share > 0.9 * ms;
  return `for ${Number(ms.toFixed(1))} ms${whole ? '' : `, in ${many(s.refreshes, 'refresh', 'refreshes')} of it`}`;
}

// value says a share of light, in per cent, as a person would.
export const value = (percent: number) => (percent < 0.05 ? 'dark' : percent > 99.5 ? 'full light' : `${percent < 10 ? percent.toFixed(1) : Math.round(percent)} % light`);

export function verdict(p: Proof): string {
  if (p.proven) return `Proven over ${seconds(p.lengthMs)}: ${p.modules.length === 1 ? 'the module does' : `all ${p.modules.length} modules do`} what the job says, word by word.`;
  const bad = p.modules.filter((m) => !m.proven).map((m) => m.module);
  return `Not proven: ${bad.join(', ')} ${bad.length === 1 ? 'does' : 'do'} not do what the job says.`;
}

// pressed names what was pressed.
export const pressed = (name: string) => (name === 'tour' || name === '' ? 'the tour' : name === 'typed' ? 'a script that was typed' : `the script ${name}`);

export const stands = { broken: 'Broken', weaker: 'Weaker', held: 'Held' } as const;

// Part is all faults of one thing that take the same: they are told in one row.
export interface Row {
  what: string;
  faults: Fault[];
  lost: Loss[];
}

// rows gathers faults that stand next to one another and lose the same, such as a tap that is open and one at ground.
export function rows(all: Fault[]): Row[] {
  const out: Row[] = [];
  for (const f of all) {
    const before = out.at(-1);
    const one = before?.faults[0];
    if (before && one && one.stand === f.stand && f.stand === 'weaker' && one.kind === f.kind && one.place.line === f.place.line && one.place.column === f.place.column && same(one, f)) before.faults.push(f);
    else out.push({ what: f.what, faults: [f], lost: f.lost });
  }
  for (const r of out) r.what = together(r.faults.map((f) => f.what));
  return out;
}

const same = (a: Fault, b: Fault) => a.lost.map((l) => l.says).join('; ') === b.lost.map((l) => l.says).join('; ');

// together says several that begin alike as one: tap of stop open or shorted to ground.
export function together(all: string[]): string {
  const [first = [], ...rest] = all.map((s) => s.split(' '));
  if (rest.length === 0) return all[0] ?? '';
  let n = 0;
  while (n < first.length - 1 && rest.every((r) => r[n] === first[n] && n < r.length - 1)) n++;
  return [...first.slice(0, n), [first, ...rest].map((w) => w.slice(n).join(' ')).join(' or ')].join(' ');
}

export const tally = (all: Fault[]) => {
  const broken = all.filter((f) => f.stand === 'broken').length;
  const weaker = all.filter((f) => f.stand === 'weaker').length;
  return { broken, weaker, held: all.length - broken - weaker };
};
