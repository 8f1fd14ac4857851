// Light that comes live is held so that nothing flashes faster than three times a second (WCAG 2.2, 2.3.1; flash.ts tells what a flash is).
//
// A change that would be one flash too many is not shown: the group stays as it was until the second has gone by.

import { lightOf } from './film';
import { mostFlashes } from './flash';

const change = 0.1;
const darker = 0.8;
const mostChanges = 2 * mostFlashes; // within any second

interface Group {
  low: number; // darkest and brightest that was shown since the latest great change
  high: number;
  way: number; // of that change: 1 up, -1 down
  times: number[]; // of the great changes within the last second, ms
}

export class Calm {
  private groups: Group[];
  readonly shown: Uint8Array;
  heldAt = -Infinity; // when something was last held, ms
  allowed = false; // shown as it comes

  constructor(n: number) {
    this.groups = Array.from({ length: n }, () => ({ low: 1, high: 0, way: 0, times: [] }));
    this.shown = new Uint8Array(n);
  }

  // take brings the levels of a moment into shown.
  take(levels: Uint8Array, now: number) {
    for (let i = 0; i < this.groups.length; i++) {
      const g = this.groups[i]!;
      const level = levels[i] ?? 0;
      const y = lightOf[level]!;
      if (g.way === 0 && g.high < g.low) g.low = g.high = y;
      const low = Math.min(g.low, y);
      const high = Math.max(g.high, y);
      const up = g.way !== 1 && y - low >= change && low < darker;
      const down = !up && g.way !== -1 && high - y >= change && y < darker;
      if (up || down) {
        while (g.times.length > 0 && now - g.times[0]! >= 1000) g.times.shift();
        if (g.times.length >= mostChanges && !this.allowed) {
          this.heldAt = now;
          continue;
        }
        g.times.push(now);
        g.way = up ? 1 : -1;
        g.low = g.high = y;
      } else {
        g.low = low;
        g.high = high;
      }
      this.shown[i] = level;
    }
  }
}
