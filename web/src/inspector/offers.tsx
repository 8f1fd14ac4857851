// The names that a field may hold, listed below it while it is typed into: chosen by arrow keys and Enter, or by the pointer.

import { useSignal, type Signal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { offered, pieceAt, put, type Piece } from './pieces';

type Box = HTMLInputElement | HTMLTextAreaElement;

export interface Offers {
  id: string;
  names: Signal<string[]>; // empty: the list is closed
  at: Signal<number>; // of the name that Enter takes; -1: none
  up: Signal<boolean>; // it stands above the field, where there is more room
  look(box: Box, whole: boolean): void;
  close(): void;
  key(e: KeyboardEvent, box: Box): boolean; // whether the list took it
  take(name: string, box: Box): void;
}

const most = 200; // names that are listed
const room = 16 * 13; // dots of the page that a list may need

export function useOffers(id: string, all: string[], several: boolean, typed: (text: string) => void): Offers {
  const names = useSignal<string[]>([]);
  const at = useSignal(-1);
  const up = useSignal(false);
  const piece = useRef<Piece>({ from: 0, to: 0, word: '' });
  const close = () => {
    names.value = [];
    at.value = -1;
  };
  const look = (box: Box, whole: boolean) => {
    piece.current = pieceAt(box.value, box.selectionStart ?? box.value.length, several);
    names.value = offered(all, box.value, piece.current, whole, several).slice(0, most);
    at.value = -1;
    const place = box.getBoundingClientRect();
    const below = innerHeight - place.bottom;
    up.value = below < room && place.top > below;
  };
  const take = (name: string, box: Box) => {
    const next = put(box.value, piece.current, name);
    typed(next.text);
    box.value = next.text;
    box.setSelectionRange(next.caret, next.caret);
    box.focus();
    close();
  };
  const key = (e: KeyboardEvent, box: Box): boolean => {
    const open = names.peek().length > 0;
    const count = names.peek().length;
    if (e.key === 'ArrowDown' && !open && (box.tagName === 'INPUT' || e.altKey || !box.value.includes('\n'))) look(box, true);
    else if (!open) return false;
    else if (e.key === 'Tab') return close(), false; // to the next field, not into the list
    else if (e.key === 'ArrowDown') at.value = (at.peek() + 1) % count;
    else if (e.key === 'ArrowUp') at.value = (Math.max(at.peek(), 0) + count - 1) % count;
    else if (e.key === 'Escape') close();
    else if (e.key === 'Enter' && at.peek() >= 0) take(names.peek()[at.peek()]!, box);
    else return false;
    e.preventDefault();
    e.stopPropagation();
    return true;
  };
  return { id, names, at, up, look, close, key, take };
}

// The list may have the focus itself, as assistive technology gives it; left is called when it goes elsewhere than back.
export function OfferList({ offers, box, says, left }: { offers: Offers; box: { current: HTMLElement | null }; says: string; left: () => void }) {
  const names = offers.names.value;
  const at = offers.at.value;
  const list = useRef<HTMLUListElement>(null);
  useEffect(() => {
    if (at >= 0) list.current?.children[at]?.scrollIntoView({ block: 'nearest' });
  }, [at]);
  return (
    <>
      <span class="visually-hidden" role="status">
        {names.length > 0 && `${names.length} ${names.length === 1 ? 'name' : 'names'} to choose from`}
      </span>
      {names.length > 0 && (
        <ul
          ref={list}
          id={offers.id}
          role="listbox"
          tabIndex={0}
          aria-label={says}
          aria-activedescendant={at >= 0 ? `${offers.id}-${at}` : undefined}
          class={`offers ${offers.up.value ? 'up' : ''}`}
          onKeyDown={(e) => {
            if (offers.key(e, box.current as Box) && offers.names.peek().length === 0) box.current!.focus();
          }}
          onBlur={(e) => e.relatedTarget !== box.current && left()}
        >
          {names.map((n, i) => (
            <li
              id={`${offers.id}-${i}`}
              role="option"
              aria-selected={i === at}
              onPointerDown={(e) => e.preventDefault() /* the field keeps the focus */}
              onMouseDown={(e) => e.preventDefault()}
              onClick={() => offers.take(n, box.current as Box)}
            >
              {n}
            </li>
          ))}
        </ul>
      )}
    </>
  );
}
