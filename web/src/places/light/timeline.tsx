// The time below the picture: a ruler to move on, the strokes as bars, and every group's light as a band.

import { useEffect, useRef, useState } from 'preact/hooks';
import { offer } from '../../engine/actions';
import type { Film } from '../../engine/film';
import type { Player } from '../../engine/player';
import type { Job, Lamp, Routine } from '../../engine/types';
import { AddStroke } from './addstroke';
import { Band, bandHeight } from './band';
import { Ruler } from './ruler';
import { litBy } from './region';
import { onMs, rowHeight, timeZoom } from './state';
import { barKeys, StrokeRow } from './strokerow';
import { barsOf } from './strokes';

const mostZoom = 16;

export function Timeline({ job, routine, film, other, player, lamps, lasts, strokes, paced }: { job: Job; routine: Routine; film: Film | null; other: { film: Film | null; title: string } | null; player: Player; lamps: Lamp[]; lasts: number; strokes: number; paced: boolean }) {
  const total = Math.max(lasts, 1);
  const bars = barsOf(job, routine.name, routine.ms || total);
  const head = useRef<HTMLDivElement>(null);
  const lanes = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(600);
  const zoom = timeZoom.value;
  useEffect(() => {
    const seen = new ResizeObserver(([e]) => setWidth(e!.contentRect.width));
    seen.observe(lanes.current!);
    return () => seen.disconnect();
  }, []);
  useEffect(() => player.each((ms) => head.current && (head.current.style.transform = `translateX(${(ms / total) * width}px)`)), [player, total, width]);
  const nearer = (by: number) => (timeZoom.value = Math.min(mostZoom, Math.max(1, timeZoom.peek() * by)));
  const higher = (by: number) => (rowHeight.value = Math.min(24, Math.max(2, (rowHeight.peek() || 6) + by)));
  useEffect(
    () =>
      offer(
        { id: 'time-nearer', says: 'Time: nearer', more: 'zoom ruler', keys: [']'], run: () => nearer(2) },
        { id: 'time-farther', says: 'Time: farther', more: 'zoom ruler', keys: ['['], run: () => nearer(0.5) },
        { id: 'band-higher', says: 'Band: higher lines, with the names of groups', run: () => (rowHeight.value = 16) },
        { id: 'band-lower', says: 'Band: lower lines', run: () => (rowHeight.value = 0) },
      ),
    [],
  );
  return (
    <div class="timeline-frame">
      <div class="timeline-tools">
        <AddStroke j={job} routine={routine} lamps={lamps} count={strokes} />
        {paced && (
          <label class="flasher-on">
            flasher on for
            <input
              type="number"
              min={120}
              max={900}
              step={10}
              value={onMs.value}
              onChange={(e) => {
                const v = Number(e.currentTarget.value);
                onMs.value = Math.min(900, Math.max(120, Math.round(v) || 333));
                e.currentTarget.value = String(onMs.value);
              }}
            />
            ms
          </label>
        )}
        <span class="status-fill" />
        <div class="row" role="group" aria-label="Time nearer and farther">
          <span class="faint">time</span>
          <button class="quiet step" aria-label="Time farther" title="[" aria-disabled={zoom <= 1} onClick={() => nearer(0.5)}>
            −
          </button>
          <button class="quiet step" aria-label="Time nearer" title="]" aria-disabled={zoom >= mostZoom} onClick={() => nearer(2)}>
            +
          </button>
        </div>
        <div class="row" role="group" aria-label="Lines of the band">
          <span class="faint">lines</span>
          <button class="quiet step" aria-label="Lower lines" onClick={() => higher(-4)}>
            −
          </button>
          <button class="quiet step" aria-label="Higher lines" onClick={() => higher(4)}>
            +
          </button>
        </div>
      </div>
      <div class="timeline" style={{ '--zoom': zoom }} tabIndex={0} role="region" aria-label="Time of the routine">
        <div class="timeline-names" />
        <div class="timeline-ruler" ref={lanes}>
          <Ruler total={total} width={width} player={player} stepMs={film?.stepMs ?? 16} />
        </div>
        <p id={barKeys} class="visually-hidden">
          Arrow keys move it in time, with Alt they change its length, with Shift in larger steps. Alt with up and down puts it below or over its neighbour, Delete takes it out.
        </p>
        <ol class="strokes" aria-label="Strokes, the later over the earlier">
          {bars.map((b) => (
            <StrokeRow key={b.index} job={job} routine={routine.name} bar={b} total={total} count={bars.length} />
          ))}
        </ol>
        {film ? (
          <Band film={film} lamps={lamps} player={player} total={total} title={other ? 'Now' : ''} />
        ) : (
          <div class="band-awaited" style={{ height: `${bandHeight(litBy(job, routine.name, lamps).length)}px` }} />
        )}
        {other?.film && <Band film={other.film} lamps={lamps} player={player} total={total} title={other.title} />}
        <div class="playhead-track" aria-hidden="true">
          <div ref={head} class="playhead" />
        </div>
      </div>
    </div>
  );
}
