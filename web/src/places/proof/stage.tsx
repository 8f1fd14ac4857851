// The picture beside the lists: a difference with the light that was promised or found, or a script as it plays.

import { useSignal } from '@preact/signals';
import { useEffect, useMemo, useRef } from 'preact/hooks';
import { offer } from '../../engine/actions';
import { bytes, lengthMs } from '../../engine/film';
import { flashes, mostFlashes, slowdown } from '../../engine/flash';
import type { Player } from '../../engine/player';
import type { Job, Lamp } from '../../engine/types';
import { clock } from '../../engine/units';
import type { Hit, Picture } from '../../picture/picture';
import { CarPicture } from '../../picture/view';
import { Trouble } from '../../ui/diagnostic';
import { useFilm, usePlayer } from '../../ui/film';
import { light, onPicture } from './state';
import type { Show } from './types';
import { value } from './words';

const rest = 500; // ms at the end of a script, before it begins again

// Played shows a script on the whole car; without one, the car at rest.
export function Played({ job }: { job: Job }) {
  const wanted = onPicture.value;
  const film = useFilm(wanted && { script: wanted.script, seed: 0 });
  const player = usePlayer(film);
  const f = film.value.film;
  const count = useMemo(() => (f ? flashes(f, true, rest) : 0), [f]);
  useEffect(() => {
    player.restMs = rest;
    player.speed = 1 / slowdown(count);
    if (f && wanted) {
      player.seek(0);
      player.play();
    } else player.pause();
  }, [f, wanted, count]);
  useEffect(() => offer({ id: 'proof-play', says: 'Proof: play or pause the script on the picture', keys: ['Space'], ready: () => onPicture.peek() !== null, run: () => player.toggle() }), []);
  return (
    <>
      <CarPicture lamps={job.lamps} film={wanted ? f : null} player={wanted && f ? player : undefined} levels={wanted ? undefined : resting(job)} busy={film.value.busy && !f} />
      {film.value.problems.map((d) => (
        <Trouble d={d} />
      ))}
      {wanted && (
        <div class="proof-playing">
          <p class="proof-playing-says" aria-live="polite">
            {wanted.says}
            {count > mostFlashes && <span class="faint"> Slowed, for it flashes {count} times a second.</span>}
          </p>
          <Scrub player={player} ms={f ? lengthMs(f) : 0} />
          <button class="quiet" onClick={() => (onPicture.value = null)}>
            Close
          </button>
        </div>
      )}
    </>
  );
}

const soft = 150; // level at which lamps stand when nothing plays

function resting(job: Job) {
  const first = new Map<string, number>();
  let n = 0;
  for (const l of job.lamps) {
    first.set(l.name, n);
    n += l.groups.length;
  }
  return useMemo(() => ({ levels: new Uint8Array(n).fill(soft), first }), [job.lamps]);
}

// Scrub is play, pause and the moment.
function Scrub({ player, ms }: { player: Player; ms: number }) {
  const playing = useSignal(player.playing);
  const bar = useRef<HTMLInputElement>(null);
  const now = useRef<HTMLSpanElement>(null);
  useEffect(() => player.turned(() => (playing.value = player.playing)), [player]);
  useEffect(
    () =>
      player.each((at) => {
        if (bar.current) bar.current.value = String(Math.round(at));
        if (now.current) now.current.textContent = clock(at);
      }),
    [player, ms],
  );
  return (
    <div class="proof-scrub">
      <button class="play" onClick={() => player.toggle()} title="Space">
        {playing.value ? 'Pause' : 'Play'}
      </button>
      <input ref={bar} type="range" min={0} max={Math.max(1, Math.round(ms))} step={16} aria-label="Moment of the script, ms" onInput={(e) => (player.pause(), player.seek(e.currentTarget.valueAsNumber))} />
      <span class="clock" aria-hidden="true">
        <span ref={now} class="clock-now">
          00.00
        </span>
        <span class="faint"> of {clock(ms)} s</span>
      </span>
    </div>
  );
}

// Differing shows one difference on its lamp, with both values.
export function Differing({ lamp, show }: { lamp: Lamp; show: Show }) {
  const picture = useRef<Picture | null>(null);
  const lamps = useMemo(() => [lamp], [lamp]);
  const levels = useMemo(() => ({ levels: bytes(light.value === 'found' ? show.found : show.promised), first: new Map([[lamp.name, 0]]) }), [show, light.value, lamp]);
  const marks = useMemo(() => show.outputs.filter((o) => o.group >= 0).map((o) => ({ lamp: lamp.name, group: o.group })), [show, lamp]);
  useEffect(() => {
    const p = picture.current;
    if (!p) return;
    p.overlay = (ctx, p) => callouts(ctx, p, lamp, show);
    p.redraw();
  }, [show, lamp]);
  const says = (hit: Hit) => {
    const o = show.outputs.find((o) => o.group === hit.group);
    const name = lamp.groups[hit.group]?.name ?? '';
    return o ? `${name} on output ${o.output}: promised ${value(o.promised)}, found ${value(o.found)}` : `${name} as promised`;
  };
  return (
    <CarPicture lamps={lamps} levels={levels} marks={marks} says={says} ready={(p) => (picture.current = p)}>
      <div class="row" role="group" aria-label="Light on the picture">
        {(['found', 'promised'] as const).map((l) => (
          <button class="quiet" aria-pressed={light.value === l} onClick={() => (light.value = l)} title="Change over (key F)">
            {l === 'found' ? 'Found' : 'Promised'}
          </button>
        ))}
      </div>
    </CarPicture>
  );
}

// callouts writes both values below each group that differs, where there is room for them; the list beside the picture has them all.
function callouts(ctx: CanvasRenderingContext2D, p: Picture, lamp: Lamp, show: Show) {
  const placed = p.placed(lamp.name);
  if (!placed) return;
  const size = 13 * p.scene.letter;
  ctx.font = `600 ${size}px Barlow, sans-serif`;
  ctx.textAlign = 'center';
  ctx.textBaseline = 'top';
  const taken: { x: number; y: number; half: number }[] = [];
  const write = (text: string, x: number, y: number) => {
    const half = ctx.measureText(text).width / 2 + size / 3;
    const at = { x: Math.max(half, Math.min(p.host.clientWidth - half, x)), y, half };
    if (taken.some((t) => Math.abs(t.y - at.y) < size * 1.4 && Math.abs(t.x - at.x) < t.half + half)) return;
    taken.push(at);
    ctx.fillStyle = '#0d0f11e6';
    ctx.fillRect(at.x - half, at.y - size * 0.2, 2 * half, size * 1.4);
    ctx.fillStyle = '#fff';
    ctx.fillText(text, at.x, at.y);
  };
  write('promised → found, of full light', p.host.clientWidth / 2, p.host.clientHeight - size * 1.8);
  const reach = Math.max(4, placed.pitch * p.scene.scale * 0.5);
  for (const o of [...show.outputs].sort((a, b) => Math.abs(b.promised - b.found) - Math.abs(a.promised - a.found))) {
    const leds = lamp.leds.filter((l) => l[2] === o.group);
    if (leds.length === 0) continue;
    const x = leds.reduce((sum, l) => sum + l[0], 0) / leds.length;
    const [px, py] = p.screen(placed, x, Math.min(...leds.map((l) => l[1])));
    write(`${Math.round(o.promised)} → ${Math.round(o.found)} %`, px, py + reach + size * 0.4);
  }
}
