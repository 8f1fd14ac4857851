// The light of a routine, fetched for a view: as it is written or as the modules play it, of this revision, of an earlier one, or as
// a drag would make it. While one is on its way only the newest wish waits behind it.

import { signal, type Signal } from '@preact/signals';
import { useEffect, useLayoutEffect, useMemo, useRef } from 'preact/hooks';
import { get, post, told } from '../../engine/api';
import { film as read, type Film } from '../../engine/film';
import type { Diagnostic, FilmAnswer } from '../../engine/types';
import { job } from '../../ui/state';
import type { Edit } from './state';

export type Showing = 'written' | 'modules';

export type Other = { routine: string } | { revision: string; label: string } | { modules: true };

export interface Order {
  routine: string;
  revision?: string;
  modules?: boolean;
  onMs?: number;
  edits?: Edit[];
}

export interface Play {
  module: string;
  layer: string;
  part: string;
  paced: boolean;
  bytes: number;
  fades: number;
  error: number; // levels of 255
}

export interface Light {
  film: Film | null;
  ms: number;
  plays: Play[];
  busy: boolean; // the first light of a subject is on its way
  problems: Diagnostic[];
}

interface Wish {
  order: Order;
  of?: string; // the revision
}

const wish = (order: Order, of?: string) => JSON.stringify({ order, of } satisfies Wish);

const dark: Light = { film: null, ms: 0, plays: [], busy: false, problems: [] };

export function useLight(order: Order | null): Signal<Light> {
  const out = useMemo(() => signal<Light>(dark), []);
  const latest = useRef<string | null>(null);
  const answered = useRef<string | null>(null); // the wish that was asked for last
  const flying = useRef(false);
  const gone = useRef(false);
  const want = order ? wish(order, job.value?.revision) : null;
  const subject = order ? JSON.stringify([order.routine, order.revision, order.modules]) : '';
  const shown = useRef('');
  if (shown.current !== subject) {
    shown.current = subject;
    out.value = { ...dark, busy: order !== null }; // at once: the light of another routine is not drawn under this one's name
  }
  useLayoutEffect(() => { // before the page is painted: the wish goes out as early as it is known
    latest.current = want;
    if (!flying.current) void fly();
  }, [want]);
  useEffect(() => {
    const unwatch = job.subscribe((j) => {
      // A new revision: its light is asked for before the page is drawn anew, which takes longer than the light does.
      const order = latest.current ? (JSON.parse(latest.current) as Wish).order : null;
      if (!j || !order || order.edits || order.revision) return;
      latest.current = wish(order, j.revision);
      if (!flying.current) void fly();
    });
    return () => {
      unwatch();
      gone.current = true;
    };
  }, []);
  const fly = async () => {
    flying.current = true;
    while (latest.current && latest.current !== answered.current && !gone.current) {
      const done = latest.current;
      answered.current = done;
      if (!out.peek().film) out.value = { ...out.peek(), busy: true };
      const { order } = JSON.parse(done) as Wish;
      try {
        const a = await post<FilmAnswer & { ms: number; plays: Play[] }>('/api/light', order);
        if (latest.current === done || sameSubject(latest.current, order)) out.value = { film: read(a), ms: a.ms, plays: a.plays, busy: false, problems: [] };
      } catch (error) {
        // What a drag tries may be impossible on the way; letting go tells.
        if (latest.current === done) out.value = { ...out.peek(), busy: false, problems: order.edits ? [] : told(error) };
      }
    }
    flying.current = false;
  };
  return out;
}

function sameSubject(latest: string | null, order: Order): boolean {
  if (!latest) return false;
  const now = (JSON.parse(latest) as Wish).order;
  return now.routine === order.routine && now.revision === order.revision && now.modules === order.modules;
}

export interface Memory {
  module: string;
  bytes: number;
  most: number;
  parts: { routine: string; layer: string; part: string; bytes: number }[];
}

// useAnswer asks the program again whenever something has changed; while that is '' it keeps what it has.
export function useAnswer<T>(url: string, when: unknown, empty: T): T {
  const out = useMemo(() => signal<T>(empty), []);
  useEffect(() => {
    if (when === '') return;
    let gone = false;
    get<T>(url)
      .then((v) => !gone && (out.value = v))
      .catch(() => {}); // the line of the workbench says when it does not answer
    return () => {
      gone = true;
    };
  }, [url, when]);
  return out.value;
}
