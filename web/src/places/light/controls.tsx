// The bar above the picture: which routine, play, loop, pace of showing, and the clock.

import { useSignal, type Signal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { Player } from '../../engine/player';
import type { Routine } from '../../engine/types';
import { clock } from '../../engine/units';
import { inspect, path } from '../../ui/state';
import { newRoutine } from './newroutine';
import { chosen } from './state';

const paces: [number, string][] = [
  [1, 'own speed'],
  [0.5, '1/2'],
  [0.25, '1/4'],
  [0.1, '1/10'],
];

export function Controls({ routine, routines, player, speed, loop }: { routine: Routine; routines: Routine[]; player: Player; speed: Signal<number>; loop: Signal<boolean> }) {
  const playing = useSignal(player.playing);
  const now = useRef<HTMLSpanElement>(null);
  useEffect(() => player.turned(() => (playing.value = player.playing)), [player]);
  useEffect(() => player.each((ms) => now.current && (now.current.textContent = clock(ms))), [player]);
  return (
    <div class="controls">
      <label class="controls-routine">
        <span class="visually-hidden">Routine</span>
        <select value={routine.name} onChange={(e) => ((chosen.value = e.currentTarget.value), (path.value = ['routines', e.currentTarget.value]))}>
          {routines.map((r) => (
            <option value={r.name}>{r.name}</option>
          ))}
        </select>
      </label>
      <button class="quiet" onClick={() => inspect(['routines', routine.name])} title="Its name, length, lamps and note">
        Edit
      </button>
      <button class="quiet" onClick={() => newRoutine(routines.map((r) => r.name))}>
        New
      </button>
      <span class="status-fill" />
      <button class="strong play" onClick={() => player.toggle()} title="Space">
        {playing.value ? 'Pause' : 'Play'}
      </button>
      <button aria-pressed={loop.value} onClick={() => (loop.value = !loop.value)}>
        Loop
      </button>
      <label class="controls-pace">
        <span class="visually-hidden">Pace of showing</span>
        <select value={String(speed.value)} onChange={(e) => (speed.value = Number(e.currentTarget.value))}>
          {paces.map(([v, says]) => (
            <option value={String(v)}>{says}</option>
          ))}
        </select>
      </label>
      <span class="clock" aria-hidden="true">
        <span ref={now} class="clock-now">
          00.00
        </span>
        <span class="faint"> of {clock(routine.ms || player.lengthMs)} s</span>
      </span>
    </div>
  );
}
