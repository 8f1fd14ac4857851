// The band: every group's light over the whole film, one line a group, time to the right.

import { useEffect, useRef } from 'preact/hooks';
import { lightOf, type Film } from '../../engine/film';
import type { Player } from '../../engine/player';
import { clock, percent } from '../../engine/units';
import type { Lamp } from '../../engine/types';
import { bytesOf, stepOf, steps } from '../../picture/ink';
import { settings } from '../../ui/state';
import { rowHeight } from './state';

const mostColumns = 2400; // dots across; longer films are thinned

interface Line {
  lamp: Lamp;
  group: number;
  at: number; // in a frame
}

export function Band({ film, lamps, player, total, title }: { film: Film; lamps: Lamp[]; player: Player; total: number; title: string }) {
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
  const high = lineHeight(lines.length);
  const rest = title ? `${title}: light of every group` : 'Light of every group';
  return (
    <>
      <div class="band-names">
        {runsOf(lines).map((r) => (
          <div class={`band-zone ${r.begins ? 'begins' : ''}`} style={{ height: `${r.lines.length * high}px` }} title={`${r.lamp} ${r.zone}`}>
            {high >= 12 && r.lines.length > 1 ? (
              r.lines.map((l, i) => <span style={{ height: `${high}px`, lineHeight: `${high}px` }}>{(r.begins && i === 0 ? `${r.lamp} ` : '') + l.lamp.groups[l.group]!.name}</span>)
            ) : (
              <span>{r.lines.length * high >= 12 ? (r.begins ? `${r.lamp} ${r.zone}` : r.zone) : ''}</span>
            )}
          </div>
        ))}
      </div>
      <div class="band">
        <canvas
          ref={canvas}
          style={{ height: `${lines.length * high}px`, width: `${(100 * film.frames * film.stepMs) / total}%` }}
          role="img"
          aria-label={`${title ? title + ': light' : 'Light'} of ${lines.length} groups over ${clock(film.frames * film.stepMs)} seconds`}
          onPointerMove={point}
          onPointerLeave={() => says.current && (says.current.textContent = rest)}
          onPointerDown={(e) => {
            player.pause();
            player.seek(at(e)[1] * film.stepMs);
          }}
        />
        <span ref={says} class="band-says faint">
          {rest}
        </span>
      </div>
    </>
  );
}

const lineHeight = (lines: number) => rowHeight.value || Math.min(9, Math.max(3, Math.floor(240 / lines)));

// bandHeight gives how many dots a band of some lines takes: kept free while its film is computed, so that nothing moves under a hand.
export const bandHeight = (lines: number) => (lines === 0 ? 0 : lines * lineHeight(lines) + 36);

interface Run {
  lamp: string;
  zone: string;
  begins: boolean; // a lamp's first
  lines: Line[];
}

// runsOf joins lines of one pattern of a lamp, as they follow each other.
function runsOf(lines: Line[]): Run[] {
  const out: Run[] = [];
  for (const l of lines) {
    const zone = l.lamp.groups[l.group]!.name.replace(/\.\d+$/, '');
    const last = out.at(-1);
    if (last && last.lamp === l.lamp.name && last.zone === zone) last.lines.push(l);
    else out.push({ lamp: l.lamp.name, zone, begins: last?.lamp !== l.lamp.name, lines: [l] });
  }
  return out;
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
