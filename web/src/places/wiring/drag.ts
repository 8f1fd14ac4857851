// Dragging between the lamp and its outputs: a group or an output is held, and let go over the other. Until then it is the page's own.

import { signal } from '@preact/signals';

export interface Held {
  group: number | null;
  output: number | null; // null: a group that hangs nowhere
  says: string;
}

export type Target = { group: number } | { output: number } | 'off' | null;

export const drag = signal<{ held: Held; x: number; y: number; over: Target } | null>(null);

// lampAt finds the group of the picture under a place of the window; the picture sets it.
export const lampAt: { find: ((x: number, y: number) => number | null) | null } = { find: null };

const slop = 6; // dots that a click may wander
const edge = 48; // dots from the edge of a list from which on it moves along

// grab follows a pointer that was pressed on something. still is called when it was a click.
export function grab(e: PointerEvent, held: Held, drop: (over: Target) => void, still?: (e: PointerEvent) => void) {
  if (e.button !== 0) return;
  const id = e.pointerId;
  const from = { x: e.clientX, y: e.clientY };
  const move = (m: PointerEvent) => {
    if (m.pointerId !== id) return;
    if (!drag.peek() && Math.hypot(m.clientX - from.x, m.clientY - from.y) < slop) return;
    along(m.clientX, m.clientY);
    drag.value = { held, x: m.clientX, y: m.clientY, over: targetAt(m.clientX, m.clientY, held) };
  };
  const up = (u: PointerEvent) => {
    if (u.pointerId !== id) return;
    const was = drag.peek();
    end();
    if (u.type === 'pointercancel') return;
    if (!was) return still?.(u);
    swallow();
    if (was.over) drop(was.over);
  };
  const key = (k: KeyboardEvent) => {
    if (k.key !== 'Escape' || !drag.peek()) return;
    k.preventDefault();
    k.stopPropagation();
    end();
    swallow();
  };
  const end = () => {
    drag.value = null;
    removeEventListener('pointermove', move, true);
    removeEventListener('pointerup', up, true);
    removeEventListener('pointercancel', up, true);
    removeEventListener('keydown', key, true);
  };
  addEventListener('pointermove', move, true);
  addEventListener('pointerup', up, true);
  addEventListener('pointercancel', up, true);
  addEventListener('keydown', key, true);
}

function targetAt(x: number, y: number, held: Held): Target {
  const el = document.elementFromPoint(x, y);
  const output = Number(el?.closest<HTMLElement>('[data-output]')?.dataset.output ?? 0);
  if (output > 0) return output === held.output ? null : { output };
  if (el?.closest('[data-off]')) return held.group !== null && held.output !== null ? 'off' : null;
  const group = el?.closest('.picture-host') ? (lampAt.find?.(x, y) ?? null) : null;
  return group === null || group === held.group || held.output === null ? null : { group };
}

// swallow keeps the click that a browser makes of the end of a drag from choosing something.
function swallow() {
  const stop = (e: Event) => e.stopPropagation();
  addEventListener('click', stop, { capture: true, once: true });
  setTimeout(() => removeEventListener('click', stop, true));
}

// along moves a list whose edge is reached, so that an output out of sight can be had.
function along(x: number, y: number) {
  const list = document.elementFromPoint(x, y)?.closest('.outputs-scroll');
  if (!list) return;
  const box = list.getBoundingClientRect();
  if (y > box.bottom - edge) list.scrollTop += 12;
  else if (y < box.top + edge) list.scrollTop -= 12;
}
