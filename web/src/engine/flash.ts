// How often a film flashes, so that nothing flashes faster than three times a second without being asked for.
//
// A flash is a pair of opposing changes of relative luminance by at least a tenth of full, the darker below 0.80 (WCAG 2.2, 2.3.1).
// The size of the lit field is left out, which errs on the safe side: any single group counts.

import { lightOf, type Film } from './film';

export const mostFlashes = 3; // within any second, WCAG 2.2, 2.3.1
const change = 0.1;
const darker = 0.8;

// flashes gives the most flashes of any group within any second of the film played at its own speed; around means that it
// starts again at its end, after a rest.
export function flashes(f: Film, around = false, restMs = 0): number {
  const perSecond = 1000 / f.stepMs;
  const rest = Math.round(restMs / f.stepMs);
  const laps = around ? Math.min(64, Math.ceil(perSecond / Math.max(1, f.frames + rest)) + 1) : 1;
  let most = 0;
  const changes: number[] = []; // steps at which the light has turned, for one group
  for (let g = 0; g < f.groups; g++) {
    changes.length = 0;
    let low = lightOf[f.levels[g] ?? 0]!; // darkest and brightest since the latest great change
    let high = low;
    let way = 0; // of the latest great change: 1 up, -1 down
    for (let lap = 0, n = 0; lap < laps; lap++, n += rest) {
      for (let i = 0; i < f.frames; i++, n++) {
        const y = lightOf[f.levels[i * f.groups + g]!]!;
        low = Math.min(low, y);
        high = Math.max(high, y);
        if (way !== 1 && y - low >= change && low < darker) {
          way = 1;
          high = y;
          changes.push(n);
        } else if (way !== -1 && high - y >= change && y < darker) {
          way = -1;
          low = y;
          changes.push(n);
        }
      }
    }
    for (let from = 0, to = 0; to < changes.length; to++) {
      while (changes[to]! - changes[from]! >= perSecond) from++;
      most = Math.max(most, Math.floor((to - from + 1) / 2));
    }
  }
  return most;
}

// slowdown gives how much slower a film must run to stay within three flashes a second; 1 means as it is.
export const slowdown = (count: number) => (count <= mostFlashes ? 1 : count / mostFlashes);
