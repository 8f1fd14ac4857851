// The bar above the picture: which routine, how it is shown, play, loop, pace of showing, and the clock.

import { useSignal, type Signal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { Player } from '../../engine/player';
import type { Routine } from '../../engine/types';
import { clock } from '../../engine/units';
import { path } from '../../ui/state';
import { Compare } from './compare';
import { stillMs } from './ruler';
import { chosen, making, picks, showing } from './state';

const paces: [number, string][] = [
  [1, 'own speed'],
  [0.5, '1/2'],
  [0.25, '1/4'],
  [0.1, '1/10'],
];

export function Controls({ routine, routines, player, speed, loop, ms, stepMs }: { routine: Routine; routines: Routine[]; player: Player; speed: Signal<number>; loop: Signal<boolean>; ms: number; stepMs: number }) {
  const playing = useSignal(player.playing);
  const now = useRef<HTMLSpanElement>(null);
  useEffect(() => player.turned(() => (playing.value = player.playing)), [player]);
  useEffect(() => player.each((ms) => now.current && (now.current.textContent = clock(ms))), [player]);
  const still = ms > 0 && ms <= stillMs;
  const step = (by: number) => (player.pause(), player.seek(player.at + by));
  return (
    <div class="controls">
      <label class="controls-routine">
        <span class="visually-hidden">Routine</span>
        <select
          value={routine.name}
          onChange={(e) => {
            picks.value = [];
            making.value = false;
            chosen.value = e.currentTarget.value;
            path.value = ['routines', e.currentTarget.value];
          }}
        >
          {routines.map((r) => (
            <option value={r.name}>{r.name}</option>
          ))}
        </select>
      </label>
      <button class="quiet" aria-pressed={making.value} onClick={() => (making.value = !making.value)}>
        New
      </button>
      <div class="segments" role="group" aria-label="Shown">
        <button aria-pressed={showing.value === 'written'} onClick={() => (showing.value = 'written')}>
          As written
        </button>
        <button aria-pressed={showing.value === 'modules'} onClick={() => (showing.value = 'modules')} title="As the modules play it: the compiled programs, decoded (M)">
          In the modules
        </button>
      </div>
      <Compare routine={routine.name} routines={routines} />
      <span class="status-fill" />
      <div class="row controls-play">
        <button class="quiet step" aria-label="One picture back" title="One picture back (,)" onClick={() => step(-stepMs)}>
          ‹
        </button>
        <button class="strong play" aria-disabled={still} onClick={() => !still && player.toggle()} title={still ? 'It has no length and lasts as long as it is asked for' : 'Space'}>
          {playing.value ? 'Pause' : 'Play'}
        </button>
        <button class="quiet step" aria-label="One picture on" title="One picture on (.)" onClick={() => step(stepMs)}>
          ›
        </button>
        <button aria-pressed={loop.value} onClick={() => (loop.value = !loop.value)} title="L">
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
          <span ref={now} class="clock-now" hidden={still}>
            00.00
          </span>
          <span class="faint"> {still ? 'It stands still' : `of ${clock(ms || player.lengthMs)} s`}</span>
        </span>
      </div>
    </div>
  );
}
