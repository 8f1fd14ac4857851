// The car of this job with its liveliest routine on it. It moves by itself only where motion is welcome, and never flashes fast.

import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { flashes, mostFlashes, slowdown } from '../../engine/flash';
import { calm } from '../../engine/settings';
import type { Job } from '../../engine/types';
import { CarPicture } from '../../picture/view';
import { useFilm, usePlayer } from '../../ui/film';
import { go, shown } from '../../ui/state';

export function Preview() {
  const j = shown.value;
  const routine = j ? liveliest(j) : null;
  const film = useFilm(routine ? { routine } : null);
  const player = usePlayer(film);
  const playing = useSignal(false);
  const started = useSignal(false);
  const slowed = useSignal(false);
  useEffect(() => player.turned(() => (playing.value = player.playing)), []);
  useEffect(() => {
    const f = film.value.film;
    if (!f) return;
    const count = flashes(f, true);
    player.speed = 1 / slowdown(count);
    slowed.value = count > mostFlashes;
    if (!started.peek() && !calm()) player.play();
    started.value = true;
  }, [film.value.film]);
  if (!j || j.lamps.length === 0)
    return (
      <section class="job-picture empty">
        <p>No lamp can be drawn yet.</p>
        <button onClick={() => go('layout')}>Go to Layout</button>
      </section>
    );
  return (
    <section class="job-picture" aria-label="The car">
      <CarPicture lamps={j.lamps} film={film.value.film} player={player}>
        {routine && (
          <button class="quiet" onClick={() => player.toggle()}>
            {playing.value ? 'Pause' : 'Play'} {routine}
            {slowed.value && ', slowed'}
          </button>
        )}
      </CarPicture>
    </section>
  );
}

// liveliest is the routine over the most lamps, of these the longest.
function liveliest(j: Job): string | null {
  const moving = j.routines.filter((r) => r.ms > 0);
  moving.sort((a, b) => b.lamps.length - a.lamps.length || b.ms - a.ms || a.name.localeCompare(b.name));
  return moving[0]?.name ?? null;
}
