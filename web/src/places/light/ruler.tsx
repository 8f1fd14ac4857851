// The ruler: time with its divisions, and a slider that moves the moment shown.

import { useEffect, useRef } from 'preact/hooks';
import type { Player } from '../../engine/player';
import { clock } from '../../engine/units';

export const stillMs = 16; // what lasts no longer stands still: light that holds, and no time to divide

const divisions = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 30_000, 60_000, 120_000]; // ms
const room = 64; // dots that a number needs

export function divisionOf(total: number, width: number): number {
  return divisions.find((d) => (d / total) * width >= room) ?? 300_000;
}

export function Ruler({ total, width, player, stepMs }: { total: number; width: number; player: Player; stepMs: number }) {
  const slider = useRef<HTMLDivElement>(null);
  useEffect(
    () =>
      player.each((ms) => {
        slider.current?.setAttribute('aria-valuenow', String(Math.round(ms)));
        slider.current?.setAttribute('aria-valuetext', `${clock(ms)} seconds`);
      }),
    [player],
  );
  const by = divisionOf(total, width);
  const marks = total <= stillMs ? [] : Array.from({ length: Math.floor(total / by) + 1 }, (_, i) => i * by);
  const fine = total > stillMs && (by / 5 / total) * width >= 5 ? Array.from({ length: Math.floor((total / by) * 5) + 1 }, (_, i) => (i * by) / 5) : [];
  const move = (e: PointerEvent) => {
    const box = slider.current!.getBoundingClientRect();
    player.seek(((e.clientX - box.left) / box.width) * total);
  };
  return (
    <div
      ref={slider}
      class="ruler"
      role="slider"
      tabIndex={0}
      aria-label="Moment"
      aria-valuemin={0}
      aria-valuemax={Math.round(total)}
      onPointerDown={(e) => {
        slider.current!.setPointerCapture(e.pointerId);
        player.pause();
        move(e);
      }}
      onPointerMove={(e) => e.buttons === 1 && move(e)}
      onKeyDown={(e) => {
        const by = e.shiftKey ? 100 : stepMs;
        if (e.key === 'ArrowRight' || e.key === 'ArrowUp') player.seek(player.at + by);
        else if (e.key === 'ArrowLeft' || e.key === 'ArrowDown') player.seek(player.at - by);
        else if (e.key === 'PageUp') player.seek(player.at + 1000);
        else if (e.key === 'PageDown') player.seek(player.at - 1000);
        else if (e.key === 'Home') player.seek(0);
        else if (e.key === 'End') player.seek(total);
        else return;
        player.pause();
        e.preventDefault();
        e.stopPropagation();
      }}
    >
      <svg width={width} height={30} aria-hidden="true">
        {fine.map((ms) => (
          <line x1={(ms / total) * width} x2={(ms / total) * width} y1={25} y2={30} class="tick-fine" />
        ))}
        {marks.map((ms) => (
          <>
            <line x1={(ms / total) * width} x2={(ms / total) * width} y1={19} y2={30} class="tick-mark" />
            {(ms / total) * width < width - 30 && (
              <text x={(ms / total) * width + 4} y={15} class="tick-text">
                {said(ms, by)}
              </text>
            )}
          </>
        ))}
      </svg>
    </div>
  );
}

const said = (ms: number, by: number) => (by < 100 || (ms < 1000 && by < 1000 && ms > 0) ? `${ms} ms` : `${Number((ms / 1000).toFixed(2))} s`);
