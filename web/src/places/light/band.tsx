// The band: every group's light over the whole film, one line a group, time to the right.

import { useEffect, useRef } from 'preact/hooks';
import { lightOf, type Film } from '../../engine/film';
import type { Player } from '../../engine/player';
import { clock, percent } from '../../engine/units';
import type { Lamp } from '../../engine/types';
import { bytesOf, stepOf, steps } from '../../picture/ink';
import { settings } from '../../ui/state';

const mostColumns = 2400; // dots across; longer films are thinned

interface Line {
  lamp: Lamp;
  group: number;
  at: number; // in a frame
}

export function Band({ film, lamps, player, total }: { film: Film; lamps: Lamp[]; player: Player; total: number }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const says = useRef<HTMLSpanElement>(null);
  const lines = linesOf(film, lamps);
  const raised = settings.value.raised;
  useEffect(() => draw(canvas.current!, film, lines, raised), [film, lamps, raised]);
  const at = (e: PointerEvent): [Line | undefined, number] => {
    const box = canvas.current!.getBoundingClientRect();
    const i = Math.floor(((e.clientY - box.top) / box.height) * lines.length);
    return [lines[i], ((e.clientX - box.left) / box.width) * film.frames];
  };
  const point = (e: PointerEvent) => {
    const [l, frame] = at(e);
    if (!l || !says.current) return;
    const n = Math.max(0, Math.min(film.frames - 1, Math.floor(frame)));
    const level = film.levels[n * film.groups + l.at] ?? 0;
    says.current.textContent = `${l.lamp.name} · ${l.lamp.groups[l.group]!.name} · ${l.lamp.groups[l.group]!.colour} · ${clock(n * film.stepMs)} s · ${percent(lightOf[level]!)}`;
  };
  if (lines.length === 0) return null;
  const high = Math.min(7, Math.max(2, Math.floor(220 / lines.length)));
  const counts = new Map<string, number>();
  for (const l of lines) counts.set(l.lamp.name, (counts.get(l.lamp.name) ?? 0) + 1);
  return (
    <>
      <div class="band-names">
        {[...counts].map(([name, n]) => (
          <span style={{ height: `${n * high}px` }} title={name}>
            {n * high >= 13 ? name : ''}
          </span>
        ))}
      </div>
      <div class="band">
        <canvas
          ref={canvas}
          style={{ height: `${lines.length * high}px`, width: `${(100 * film.frames * film.stepMs) / total}%` }}
          role="img"
          aria-label={`Light of ${lines.length} groups over ${clock(film.frames * film.stepMs)} seconds`}
          onPointerMove={point}
          onPointerLeave={() => says.current && (says.current.textContent = 'Light of every group')}
          onPointerDown={(e) => {
            player.pause();
            player.seek(at(e)[1] * film.stepMs);
          }}
        />
        <span ref={says} class="band-says faint">
          Light of every group
        </span>
      </div>
    </>
  );
}

// linesOf takes the groups of the lamps that light at all.
function linesOf(film: Film, lamps: Lamp[]): Line[] {
  const ever = new Uint8Array(film.groups);
  for (let i = 0; i < film.frames; i++) for (let g = 0; g < film.groups; g++) if (film.levels[i * film.groups + g]) ever[g] = 1;
  return lamps.flatMap((lamp) => {
    const first = film.first.get(lamp.name) ?? 0;
    return lamp.groups.map((_, group) => ({ lamp, group, at: first + group })).filter((l) => ever[l.at]);
  });
}

function draw(canvas: HTMLCanvasElement, film: Film, lines: Line[], raised: boolean) {
  const columns = Math.min(film.frames, mostColumns);
  canvas.width = Math.max(1, columns);
  canvas.height = Math.max(1, lines.length);
  const ctx = canvas.getContext('2d', { alpha: false })!;
  const data = ctx.createImageData(canvas.width, canvas.height);
  const step = stepOf(raised);
  const inks = new Map<string, number[][]>();
  lines.forEach((l, y) => {
    const colour = l.lamp.groups[l.group]!.colour;
    let ink = inks.get(colour);
    if (!ink) inks.set(colour, (ink = Array.from({ length: steps + 1 }, (_, i) => bytesOf(colour, (i / steps) ** 2.2))));
    for (let x = 0; x < columns; x++) {
      const frame = Math.floor((x * film.frames) / columns);
      const [r, g, b] = ink[step[film.levels[frame * film.groups + l.at]!]!]!;
      const i = 4 * (y * columns + x);
      data.data[i] = Math.max(14, r!);
      data.data[i + 1] = Math.max(16, g!);
      data.data[i + 2] = Math.max(18, b!);
      data.data[i + 3] = 255;
    }
  });
  ctx.putImageData(data, 0, 0);
}
