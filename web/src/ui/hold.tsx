// A button that presses inputs for as long as it is held, by pointer or by key.

import type { ComponentChildren } from 'preact';
import { useEffect } from 'preact/hooks';
import { inText } from '../engine/actions';
import { hold, letGo } from './bench';
import { settings } from './state';

const isPress = (e: KeyboardEvent) => e.key === ' ' || e.key === 'Enter';

interface Props {
  inputs: string[];
  label?: string;
  says?: string; // what a press does
  class?: string;
  pressed?: boolean;
  began?: () => void;
  ended?: () => void;
  children: ComponentChildren;
}

export function HoldButton({ inputs, label, says, class: kind = '', pressed, began = () => hold(inputs), ended = () => letGo(inputs), children }: Props) {
  return (
    <button
      class={`hold ${kind}`}
      aria-label={label}
      aria-pressed={pressed}
      title={says}
      onPointerDown={(e) => {
        if (e.button !== 0) return;
        e.currentTarget.setPointerCapture(e.pointerId);
        began();
      }}
      onPointerUp={ended}
      onPointerCancel={ended}
      onContextMenu={(e) => e.preventDefault()}
      onKeyDown={(e) => {
        if (!isPress(e) || e.ctrlKey || e.altKey || e.metaKey) return;
        e.preventDefault();
        if (!e.repeat) began();
      }}
      onKeyUp={(e) => {
        if (!isPress(e)) return;
        e.preventDefault();
        ended();
      }}
      onBlur={ended}
    >
      {children}
    </button>
  );
}

// useHoldKeys presses inputs while their letters are held down, wherever the focus is but in a field.
export function useHoldKeys(keys: Record<string, string[]>) {
  const all = JSON.stringify(keys);
  useEffect(() => {
    const down = (e: KeyboardEvent) => {
      const inputs = keys[e.key.toUpperCase()];
      if (!inputs || e.ctrlKey || e.altKey || e.metaKey || e.defaultPrevented || !settings.peek().letters || inText(e.target) || document.querySelector('dialog[open]')) return;
      e.preventDefault();
      if (!e.repeat) hold(inputs);
    };
    const up = (e: KeyboardEvent) => {
      const inputs = keys[e.key.toUpperCase()];
      if (inputs) letGo(inputs);
    };
    addEventListener('keydown', down);
    addEventListener('keyup', up);
    return () => {
      removeEventListener('keydown', down);
      removeEventListener('keyup', up);
    };
  }, [all]);
}
