// Light: pick a routine, watch it on the car, move about in its time, and change its strokes.

import { useSignal } from '@preact/signals';
import { useEffect, useMemo } from 'preact/hooks';
import { offer } from '../../engine/actions';
import { lengthMs } from '../../engine/film';
import { flashes, mostFlashes, slowdown } from '../../engine/flash';
import { CarPicture } from '../../picture/view';
import { useFilm, usePlayer } from '../../ui/film';
import { Trouble } from '../../ui/diagnostic';
import { job, set, settings, shown } from '../../ui/state';
import { Controls } from './controls';
import { newRoutine } from './newroutine';
import { Flashing } from './flashing';
import { chosen, allowed } from './state';
import { Timeline } from './timeline';

const leastRoundMs = 500; // a short routine rests at its end, so that a loop of it stays calm

export function LightPlace() {
  const j = shown.value ?? job.value!;
  const names = j.routines.map((r) => r.name);
  const routine = names.includes(chosen.value) ? chosen.value : (names[0] ?? '');
  const film = useFilm(routine ? { routine } : null);
  const player = usePlayer(film, j.routines.find((r) => r.name === routine)?.ms);
  const speed = useSignal(1);
  const loop = useSignal(true);
  const f = film.value.film;

  const info = j.routines.find((r) => r.name === routine);
  const lit = useMemo(() => j.lamps.filter((l) => info?.lamps.includes(l.name)), [j.lamps, info]);
  const picked = lit.length > 0 ? lit : j.lamps;
  const rest = f ? Math.max(0, leastRoundMs - (info?.ms || lengthMs(f))) : 0;
  const count = useMemo(() => (f ? flashes(f, loop.value, rest) : 0), [f, loop.value, rest]);
  const asked = allowed.value.includes(routine);
  const slower = asked ? 1 : slowdown(count);

  useEffect(() => {
    player.loop = loop.value;
    player.restMs = rest;
    player.speed = Math.min(speed.value, 1 / slower);
  }, [loop.value, speed.value, slower, rest]);

  useEffect(
    () =>
      offer(
        { id: 'play', says: 'Play or pause', more: 'light film start stop', keys: ['Space'], run: () => player.toggle() },
        { id: 'to-start', says: 'Back to the beginning of the routine', keys: ['Home'], run: () => player.seek(0) },
        { id: 'step-on', says: 'One picture on', keys: ['.'], run: () => (player.pause(), player.seek(player.at + (f?.stepMs ?? 16))) },
        { id: 'step-back', says: 'One picture back', keys: [','], run: () => (player.pause(), player.seek(player.at - (f?.stepMs ?? 16))) },
      ),
    [f],
  );

  if (!info)
    return (
      <div class="empty-place">
        <h2>No routine yet</h2>
        <p>A routine is a piece of choreography over one or more lamps; signals and shows play it.</p>
        <button class="strong" onClick={() => newRoutine([])}>
          Make the first one
        </button>
      </div>
    );

  return (
    <div class="light">
      <Controls routine={info} routines={j.routines} player={player} speed={speed} loop={loop} />
      {count > mostFlashes && <Flashing count={count} slower={slower} asked={asked} allow={(yes) => (allowed.value = yes ? [...allowed.value, routine] : allowed.value.filter((r) => r !== routine))} />}
      {film.value.problems.map((d) => (
        <Trouble d={d} />
      ))}
      <CarPicture lamps={picked} film={f} player={player} busy={film.value.busy && !f}>
        <button class="quiet" aria-pressed={settings.value.raised} onClick={() => set({ raised: !settings.value.raised })} title="Show dim light brighter than it is">
          Raise dim light
        </button>
      </CarPicture>
      <Timeline job={job.value!} routine={info} film={f} player={player} lamps={lit} />
    </div>
  );
}
