// The time strip of a stroke on the lamp: the routine from its beginning to its end, the stroke as a bar in it, a grip at its start and
// one at its end.

import type { Value } from '../../engine/types';
import { milliseconds, time } from '../../engine/units';

export type TimeGrip = 'start' | 'for';

export interface Strip {
  left: number; // dots, of the routine's beginning
  wide: number; // of the whole routine
  y: number;
  totalMs: number;
  start: number; // ms
  length: number;
  open: boolean; // it lasts to the end of the routine
}

const snapMs = 10;
const snap = (ms: number) => Math.round(ms / snapMs) * snapMs;

// stripOf reads a stroke's times; where the strip lies from left to right is for who draws it.
export function stripOf(body: { [key: string]: Value }, totalMs: number, y: number): Strip {
  const text = (v: Value | undefined) => (typeof v === 'string' ? v : undefined);
  const start = milliseconds(text(body.start)) ?? 0;
  const given = milliseconds(text(body.for));
  return { left: 0, wide: 1, y, totalMs: Math.max(1, totalMs), start, length: given ?? Math.max(0, totalMs - start), open: given === null };
}

export const saysOf = (s: Strip) => `from ${time(s.start)}, ${s.open ? 'to the end' : `for ${time(s.length)}`}`;

const dots = (s: Strip, ms: number) => s.left + (Math.min(ms, s.totalMs) / s.totalMs) * s.wide;

// gripsOf gives where the strip can be held.
export const gripsOf = (s: Strip): [TimeGrip, number, number][] => [['start', dots(s, s.start), s.y], ['for', dots(s, s.start + s.length), s.y]];

// pulled gives what a grip that is drawn to x says. The start moves the stroke within the routine, or where an open
// one begins; the end makes it longer or shorter.
export function pulled(s: Strip, grip: TimeGrip, x: number): string {
  const ms = ((x - s.left) / s.wide) * s.totalMs;
  if (grip === 'start') return time(Math.max(0, Math.min(snap(ms), s.totalMs - (s.open ? snapMs : s.length))));
  return time(Math.max(snapMs, Math.min(snap(ms), s.totalMs) - s.start));
}

// drawStrip draws it without its grips, and says it in words to its right.
export function drawStrip(ctx: CanvasRenderingContext2D, s: Strip, says: string, letter: number) {
  const line = (from: number, to: number, wide: number, colour: string) => {
    ctx.beginPath();
    ctx.moveTo(from, s.y);
    ctx.lineTo(to, s.y);
    ctx.lineWidth = wide;
    ctx.strokeStyle = colour;
    ctx.stroke();
  };
  line(s.left, s.left + s.wide, 8, '#000a');
  line(s.left, s.left + s.wide, 1.5, '#98a1a8');
  line(dots(s, s.start), dots(s, s.start + s.length), 5, '#7fbccb');
  const from = s.left + s.wide + 14;
  ctx.fillStyle = '#0d0f11e0';
  ctx.fillRect(from - 4, s.y - 9 * letter, ctx.measureText(says).width + 8, 18 * letter);
  ctx.fillStyle = '#eef6f8';
  ctx.textAlign = 'left';
  ctx.fillText(says, from, s.y);
}
