// A big switch: a tap leaves it on, a tap more takes it off; held longer, it is on as long as it is held.

import { useRef } from 'preact/hooks';
import type { Switch } from '../../engine/bench';
import { hold, letGo, turn } from '../../ui/bench';
import { HoldButton } from '../../ui/hold';

const tapMs = 400; // a press up to this long is a tap

const signs: Record<string, string> = { 'turn-lh': '◀', 'turn-rh': '▶', hazard: '△' };

export function BigSwitch({ s, stands }: { s: Switch; stands: string }) {
  const on = stands !== '';
  const press = useRef<{ at: number; was: boolean } | null>(null);
  const set = (how: 'on' | 'flash' | 'off') => turn({ switches: Object.fromEntries(s.inputs.map((i) => [i, how])) });
  const began = () => {
    if (press.current) return;
    press.current = { at: performance.now(), was: on };
    if (on) return;
    if (s.flashes) void set('flash');
    else hold(s.inputs);
  };
  const ended = () => {
    const p = press.current;
    press.current = null;
    if (!p) return;
    const tapped = performance.now() - p.at <= tapMs;
    if (p.was) void set('off');
    else if (s.flashes) {
      if (!tapped) void set('off');
    } else {
      if (tapped) void set('on'); // before it is let go, so that it stays on in between
      letGo(s.inputs);
    }
  };
  const word = { '': 'off', on: 'on', flash: 'flashes', held: 'held' }[stands] ?? stands;
  return (
    <HoldButton inputs={s.inputs} class={`big ${on ? 'is-on' : ''} road-${s.road || 'none'}`} pressed={on} says="Tap: it stays on. Hold: it is on as long as you hold it." began={began} ended={ended}>
      <span class="big-name">
        {signs[s.name === 'hazard' ? 'hazard' : s.road] && <span aria-hidden="true">{signs[s.name === 'hazard' ? 'hazard' : s.road]} </span>}
        {s.says}
      </span>
      <span class="big-word">{word}</span>
    </HoldButton>
  );
}
