// What the Light place asks the program for: the light of a routine, and figures about it.

import type { Signal } from '@preact/signals';
import { useEffect, useLayoutEffect, useMemo } from 'preact/hooks';
import { post } from '../../engine/api';
import { job, state } from '../../ui/state';
import { Asker, wishOf, type Answer, type Light, type Order } from './asker';

export type Showing = 'written' | 'modules';

export type Other = { routine: string } | { revision: string; label: string } | { modules: true };

export function useLight(order: Order | null): Signal<Light> {
  const asker = useMemo(() => new Asker((o) => post<Answer>('/api/light', o)), []);
  const wish = order && wishOf(order, job.value?.revision);
  asker.about(order); // at once: the light of another routine is not drawn under this one's name
  useLayoutEffect(() => asker.wish(wish), [wish]); // before the page is painted: the wish goes out as early as it is known
  useEffect(() => {
    // A new revision: its light is asked for before the page is drawn anew, which takes longer than the light does.
    const unwatch = job.subscribe((j) => j && asker.renew(j.revision));
    let line = state.peek().line;
    const unhear = state.subscribe((s) => {
      if (s.line === 'open' && line !== 'open') asker.retry();
      line = s.line;
    });
    return () => {
      unwatch();
      unhear();
      asker.end();
    };
  }, []);
  return asker.light;
}

export interface Memory {
  module: string;
  bytes: number;
  most: number;
  parts: { routine: string; layer: string; part: string; bytes: number }[];
}
