// A script drawn over time: a lane for each input and each condition, and what shows when; the moment is moved by pointer or keys.

import { useEffect, useRef } from 'preact/hooks';
import { lengthMs, type Film } from '../../engine/film';
import type { Player } from '../../engine/player';
import { clock } from '../../engine/units';
import type { Course } from '../../engine/types';

export function CourseDrawing({ course, film, player }: { course: Course; film: Film; player: Player }) {
  const total = Math.max(lengthMs(film), 1);
  const head = useRef<HTMLDivElement>(null);
  const lanes = useRef<HTMLDivElement>(null);
  useEffect(() => player.each((ms) => head.current && (head.current.style.left = `${(100 * ms) / total}%`)), [player, total]);
  const seek = (e: PointerEvent) => {
    const box = lanes.current!.getBoundingClientRect();
    player.seek((Math.min(Math.max(e.clientX - box.left, 0), box.width) / box.width) * total);
  };
  const marks = ticks(total);
  const place = (from: number, to: number) => ({ left: `${(100 * from) / total}%`, width: `${(100 * Math.max(Math.min(to, total) - from, 0)) / total}%` });
  return (
    <div class="course">
      <div class="course-names" aria-hidden="true">
        <span />
        {course.presses.map((p) => (
          <span title={p.input}>{p.input}</span>
        ))}
        {course.conditions.map((c) => (
          <span class="faint" title={c.says}>
            {c.says}
          </span>
        ))}
      </div>
      <div
        ref={lanes}
        class="course-lanes"
        role="slider"
        tabIndex={0}
        aria-label="Moment of the script"
        aria-valuemin={0}
        aria-valuemax={Math.round(total)}
        aria-valuenow={Math.round(player.at)}
        aria-valuetext={`${clock(player.at)} seconds. ${says(course)}`}
        onPointerDown={(e) => {
          player.pause();
          e.currentTarget.setPointerCapture(e.pointerId);
          seek(e);
        }}
        onPointerMove={(e) => e.currentTarget.hasPointerCapture(e.pointerId) && seek(e)}
        onKeyDown={(e) => {
          const step = e.shiftKey ? 1000 : 100;
          if (e.key === 'ArrowRight') player.seek(player.at + step);
          else if (e.key === 'ArrowLeft') player.seek(player.at - step);
          else return;
          player.pause();
          e.preventDefault();
        }}
      >
        <div class="course-ruler">
          {marks.map((ms) => (
            <span style={{ left: `${(100 * ms) / total}%` }}>{ms / 1000} s</span>
          ))}
        </div>
        {course.presses.map((p) => (
          <div class="course-lane">
            {p.spans.map(([from, to]) => (
              <span class="course-bar" style={place(from, to)} title={`${p.input}: ${clock(from)} s to ${clock(to)} s`} />
            ))}
          </div>
        ))}
        {course.conditions.map((c) => (
          <div class="course-lane">
            <span class="course-bar condition" style={c.span ? place(...c.span) : place(0, total)} title={c.says} />
          </div>
        ))}
        <div ref={head} class="course-head" />
      </div>
    </div>
  );
}

// ticks gives round moments, some eight in all.
function ticks(total: number): number[] {
  const step = [100, 200, 500, 1000, 2000, 5000, 10_000, 20_000].find((s) => total / s <= 9) ?? 30_000;
  return Array.from({ length: Math.floor(total / step) + 1 }, (_, i) => i * step).filter((ms) => ms < total * 0.97);
}

const says = (c: Course) => c.presses.map((p) => `${p.input} is pressed ${p.spans.length === 1 ? 'once' : `${p.spans.length} times`}`).join(', ');
