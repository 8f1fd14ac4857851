// A film of the latest revision for a view: fetched when the job changes, the old one shown until the new one is there.

import { signal, useSignalEffect, type Signal } from '@preact/signals';
import { useEffect, useMemo } from 'preact/hooks';
import { told } from '../engine/api';
import { fetchFilm, lengthMs, type Film, type FilmOrder } from '../engine/film';
import { Player } from '../engine/player';
import type { Diagnostic } from '../engine/types';
import { job } from './state';

export interface FilmState {
  film: Film | null;
  problems: Diagnostic[];
}

// useFilm fetches the film that order asks for; a changed order or revision fetches anew.
export function useFilm(order: FilmOrder | null): Signal<FilmState> {
  const out = useMemo(() => signal<FilmState>({ film: null, problems: [] }), []);
  const want = JSON.stringify(order);
  const revision = job.value?.revision ?? '';
  const broken = (job.value?.lamps.length ?? 0) === 0;
  useEffect(() => {
    if (!order || !revision || broken) return;
    let gone = false;
    fetchFilm(revision, order)
      .then((film) => !gone && (out.value = { film, problems: [] }))
      .catch((error) => !gone && (out.value = { film: out.peek().film, problems: told(error).filter((d) => d.id !== 'stale') }));
    return () => {
      gone = true;
    };
  }, [want, revision, broken]);
  return out;
}

// usePlayer is a player that lives as long as the view.
export function usePlayer(film: Signal<FilmState>): Player {
  const player = useMemo(() => new Player(), []);
  useSignalEffect(() => {
    const f = film.value.film;
    player.load(f ? lengthMs(f) : 0);
  });
  useEffect(() => () => player.end(), []);
  return player;
}
