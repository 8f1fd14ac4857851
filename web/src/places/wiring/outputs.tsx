// The outputs of the board, in registers of eight: large numbers, and beside each what hangs there.

import type { ComponentChildren } from 'preact';
import { useRef } from 'preact/hooks';
import { css } from '../../picture/ink';
import { nameOf, registers, short, type Wiring } from './map';

export interface Cell {
  look: string; // classes
  says?: string; // more for those who hear the page
  shows: ComponentChildren;
  pressed?: boolean;
}

interface Props {
  w: Wiring;
  label: string;
  cell: (output: number) => Cell;
  press: (output: number) => void;
  over?: (output: number | null) => void;
  down?: (e: PointerEvent, output: number) => void;
  remove?: (output: number) => void;
}

export function Outputs({ w, label, cell, press, over, down, remove }: Props) {
  const list = useRef<HTMLDivElement>(null);
  const key = (e: KeyboardEvent, output: number) => {
    if (e.ctrlKey || e.altKey || e.metaKey) return;
    const cells = [...list.current!.querySelectorAll<HTMLElement>('.output')];
    const along = cells.length > 1 && cells[0]!.getBoundingClientRect().top === cells[1]!.getBoundingClientRect().top; // registers lie in rows
    const by = (along ? { ArrowRight: 1, ArrowLeft: -1, ArrowDown: 8, ArrowUp: -8 } : { ArrowDown: 1, ArrowUp: -1, ArrowRight: 8, ArrowLeft: -8 })[e.key];
    const to = e.key === 'Home' ? 1 : e.key === 'End' ? w.module.outputs : by ? output + by : 0;
    if ((e.key === 'Delete' || e.key === 'Backspace') && remove) remove(output);
    else if (to >= 1 && to <= w.module.outputs) cells[to - 1]?.focus();
    else if (!by) return;
    e.preventDefault();
  };
  return (
    <div class="outputs-scroll" ref={list}>
      <div class="outputs" role="group" aria-label={label}>
        {registers(w.module.outputs).map((r, i) => (
          <section class="register" style={{ '--count': r.last - r.first + 1 }} aria-label={w.module.registers > 0 ? `Register ${i + 1}` : `Outputs ${r.first} to ${r.last}`}>
            <h3>
              {w.module.registers > 0 ? `Register ${i + 1}` : 'Pins'} <span class="faint">{`${r.first}–${r.last}`}</span>
            </h3>
            <ol>
              {Array.from({ length: r.last - r.first + 1 }, (_, k) => r.first + k).map((o) => {
                const c = cell(o);
                return (
                  <li key={o}>
                    <button
                      class={`output ${c.look}`}
                      data-output={o}
                      aria-pressed={c.pressed}
                      onClick={() => press(o)}
                      onPointerEnter={() => over?.(o)}
                      onPointerLeave={() => over?.(null)}
                      onFocus={() => over?.(o)}
                      onBlur={() => over?.(null)}
                      onPointerDown={(e) => down?.(e, o)}
                      onKeyDown={(e) => key(e, o)}
                    >
                      <span class="output-number">
                        <span class="visually-hidden">Output </span>
                        {o}
                      </span>
                      <span class="output-shows">
                        {c.shows}
                        {c.says && <span class="visually-hidden">, {c.says}</span>}
                      </span>
                    </button>
                  </li>
                );
              })}
            </ol>
          </section>
        ))}
      </div>
    </div>
  );
}

// GroupChip is a group by its name, with a dot in its colour. In a narrow place the pattern's name gives way, never the number.
export function GroupChip({ w, group }: { w: Wiring; group: number }) {
  const name = nameOf(w, group);
  const { pattern, member } = short(name);
  return (
    <span class="group-chip" title={`${name}, ${w.lamp.groups[group]?.colour ?? 'unknown colour'}`}>
      <span class="group-dot" style={{ background: css(w.lamp.groups[group]?.colour ?? '') }} />
      <span class="visually-hidden">{name}</span>
      <span class="group-name" aria-hidden="true">
        {pattern && <span class="group-pattern">{pattern}</span>}
        <span>{pattern ? `.${member}` : member}</span>
      </span>
    </span>
  );
}
