// A film of the latest revision for a view: fetched when the job changes, the old one shown until the new one is there.

import { signal, type Signal } from '@preact/signals';
import { useEffect, useMemo, useRef } from 'preact/hooks';
import { told } from '../engine/api';
import { fetchFilm, lengthMs, type Film, type FilmOrder } from '../engine/film';
import { Player } from '../engine/player';
import type { Diagnostic } from '../engine/types';
import { job } from './state';

export interface FilmState {
  film: Film | null; // null until the first one of an order is there
  busy: boolean; // a newer one is being worked out
  problems: Diagnostic[];
}

// useFilm fetches the film that order asks for; a changed order or revision fetches anew.
export function useFilm(order: FilmOrder | null): Signal<FilmState> {
  const out = useMemo(() => signal<FilmState>({ film: null, busy: false, problems: [] }), []);
  const shownFor = useRef('');
  const want = JSON.stringify(order);
  const revision = job.value?.revision ?? '';
  const broken = (job.value?.lamps.length ?? 0) === 0;
  useEffect(() => {
    if (!order || !revision || broken) return;
    let gone = false;
    out.value = { ...out.peek(), film: shownFor.current === want ? out.peek().film : null, busy: true };
    fetchFilm(revision, order)
      .then((film) => {
        if (gone) return;
        shownFor.current = want;
        out.value = { film, busy: false, problems: [] };
      })
      .catch((error) => !gone && (out.value = { film: out.peek().film, busy: false, problems: told(error).filter((d) => d.id !== 'stale') }));
    return () => {
      gone = true;
    };
  }, [want, revision, broken]);
  return out;
}

// usePlayer is a player that lives as long as the view; ms is the length where it is known better than by the film's steps.
export function usePlayer(film: Signal<FilmState>, ms?: number): Player {
  const player = useMemo(() => new Player(), []);
  const f = film.value.film;
  useEffect(() => player.load(f ? ms || lengthMs(f) : 0), [f, ms]);
  useEffect(() => () => player.end(), []);
  return player;
}
