// A script: what is pressed when, written in a field, and played as a film on the car.

import { useSignal, type Signal } from '@preact/signals';
import { useEffect, useMemo, useRef } from 'preact/hooks';
import { offer } from '../../engine/actions';
import { lengthMs } from '../../engine/film';
import { flashes, mostFlashes, slowdown } from '../../engine/flash';
import { Player } from '../../engine/player';
import { clock } from '../../engine/units';
import { useFilm, type FilmState } from '../../ui/film';
import { CourseDrawing } from './coursedrawing';
import { Kept } from './keptscripts';
import { Slip } from './slip';
import { seed, text, view } from './state';

const settleMs = 250; // after the last letter

export interface Playing {
  text: string; // of which the film is
  film: Signal<FilmState>;
  player: Player;
  count: number; // flashes within a second at its own speed
  allowed: Signal<boolean>;
}

// useScript plays the script of this place while its view is open.
export function useScript(): Playing {
  const settled = useSignal(text.peek());
  const now = text.value;
  useEffect(() => {
    const timer = setTimeout(() => (settled.value = now), settleMs);
    return () => clearTimeout(timer);
  }, [now]);
  const open = view.value === 'script';
  const film = useFilm(open && settled.value.trim() ? { script: settled.value, seed, owners: true } : null);
  const f = film.value.film;
  const player = useMemo(() => new Player(), []);
  useEffect(() => () => player.end(), []);
  useEffect(() => player.load(f ? lengthMs(f) : 0), [f]);
  useEffect(() => {
    if (!open) player.pause();
  }, [open]);
  const allowed = useSignal(false);
  useEffect(() => {
    allowed.value = false;
  }, [settled.value]);
  const count = useMemo(() => (f ? flashes(f, player.loop) : 0), [f]);
  useEffect(() => {
    player.speed = allowed.value ? 1 : 1 / slowdown(count);
  }, [count, allowed.value]);
  return { text: settled.value, film, player, count, allowed };
}

export function Script({ script }: { script: Playing }) {
  const { film, player, count, allowed } = script;
  const field = useRef<HTMLTextAreaElement>(null);
  const f = film.value.film;
  const empty = text.value.trim() === '';
  useEffect(
    () =>
      offer(
        { id: 'script-play', says: 'Play or pause the script', keys: ['Space'], run: () => player.toggle() },
        { id: 'script-start', says: 'Back to the beginning of the script', keys: ['Home'], run: () => player.seek(0) },
        { id: 'script-on', says: 'One picture on', keys: ['.'], run: () => (player.pause(), player.seek(player.at + 16)) },
        { id: 'script-back', says: 'One picture back', keys: [','], run: () => (player.pause(), player.seek(player.at - 16)) },
      ),
    [],
  );
  return (
    <div class="script">
      {count > mostFlashes && !empty && (
        <div class="flashing" role="note">
          <span>
            {allowed.value
              ? `Played at its own speed: something flashes ${count} times a second.`
              : `Something flashes ${count} times a second, which can harm people. It is played at ${Math.floor(100 / slowdown(count))} % of its speed.`}
          </span>
          <button onClick={() => (allowed.value = !allowed.value)}>{allowed.value ? 'Play it slowed' : 'Play it at its own speed'}</button>
        </div>
      )}
      {f?.course && !empty && <CourseDrawing course={f.course} film={f} player={player} />}
      <div class="script-text">
        <label class="script-field">
          <span class="visually-hidden">Script</span>
          <textarea
            ref={field}
            class="script-area"
            spellcheck={false}
            rows={5}
            placeholder={'for example:\nstop@1s..3s\nturn-lh@4s..9s~90/min:50%\nsupply=9V@2s..3s'}
            value={text.value}
            aria-invalid={film.value.problems.length > 0 && !empty}
            onInput={(e) => (text.value = e.currentTarget.value)}
          />
        </label>
        <div class="script-side">
          <Kept />
          {!empty && film.value.problems.map((d) => <Slip d={d} field={field} />)}
          {empty && <p class="faint">Write what is pressed when, or record it under Switches: stop@1s..3s holds stop from 1 s up to 3 s; ~90/min:50% flashes; supply=9V@2s..3s lowers the supply.</p>}
        </div>
      </div>
    </div>
  );
}

// Transport plays, stops and loops the script.
export function Transport({ script: { player, film } }: { script: Playing }) {
  const ready = text.value.trim() !== '' && film.value.film !== null;
  const playing = useSignal(player.playing);
  const loop = useSignal(player.loop);
  const now = useRef<HTMLSpanElement>(null);
  useEffect(() => player.turned(() => (playing.value = player.playing)), [player]);
  useEffect(() => player.each((ms) => now.current && (now.current.textContent = clock(ms))), [player]);
  return (
    <div class="row">
      <button class="strong play" aria-disabled={!ready} onClick={() => ready && player.toggle()} title="Space">
        {playing.value ? 'Pause' : 'Play'}
      </button>
      <button class="quiet" onClick={() => player.seek(0)} title="Home">
        From the start
      </button>
      <button aria-pressed={loop.value} onClick={() => (player.loop = loop.value = !loop.value)}>
        Loop
      </button>
      <span class="clock" aria-hidden="true">
        <span ref={now} class="clock-now">
          00.00
        </span>
        <span class="faint"> s</span>
      </span>
    </div>
  );
}
