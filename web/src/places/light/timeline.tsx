// The time below the picture: a ruler to move on, the strokes as bars, and every group's light as a band.

import { useEffect, useRef, useState } from 'preact/hooks';
import { lengthMs, type Film } from '../../engine/film';
import type { Player } from '../../engine/player';
import type { Job, Lamp, Routine } from '../../engine/types';
import { inspect } from '../../ui/state';
import { Band } from './band';
import { Ruler } from './ruler';
import { StrokeRow } from './strokerow';
import { barsOf } from './strokes';

export function Timeline({ job, routine, film, player, lamps }: { job: Job; routine: Routine; film: Film | null; player: Player; lamps: Lamp[] }) {
  const total = Math.max(routine.ms || (film ? lengthMs(film) : 0), 1);
  const bars = barsOf(job, routine.name, total);
  const head = useRef<HTMLDivElement>(null);
  const lanes = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(600);
  useEffect(() => {
    const seen = new ResizeObserver(([e]) => setWidth(e!.contentRect.width));
    seen.observe(lanes.current!);
    return () => seen.disconnect();
  }, []);
  useEffect(() => player.each((ms) => head.current && (head.current.style.transform = `translateX(${(ms / total) * width}px)`)), [player, total, width]);
  return (
    <div class="timeline">
      <div class="timeline-names">
        <button class="quiet" onClick={() => inspect(['routines', routine.name, 'strokes'])}>
          Add a stroke
        </button>
      </div>
      <div class="timeline-ruler" ref={lanes}>
        <Ruler total={total} width={width} player={player} />
      </div>
      <ol class="strokes" aria-label="Strokes, the later over the earlier">
        {bars.map((b) => (
          <StrokeRow key={b.index} job={job} routine={routine.name} bar={b} total={total} />
        ))}
      </ol>
      {film && <Band film={film} lamps={lamps} player={player} total={total} />}
      <div class="playhead-track" aria-hidden="true">
        <div ref={head} class="playhead" />
      </div>
    </div>
  );
}
