// Beginning a lamp, and making the opposite hand of one.

import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { Diagnostic } from '../../engine/types';
import { drive, freeName } from '../../inspector/change';
import { Trouble } from '../../ui/diagnostic';
import { job, store } from '../../ui/state';
import type { Drawing } from './drawing';
import { form, lampNames, showLamp } from './state';

export function NewLamp() {
  const end = useSignal('rear');
  const side = useSignal('LH');
  const named = useSignal<string | null>(null);
  const x = useSignal('');
  const y = useSignal('');
  const driven = useSignal(true);
  const refused = useSignal<Diagnostic[]>([]);
  const first = useRef<HTMLInputElement>(null);
  useEffect(() => first.current?.focus(), []);
  const wish = freeName(lampNames.value, `${end.value === 'rear' ? 'tail' : 'nose'}${side.value === 'centre' ? '' : `-${side.value.toLowerCase()}`}`);
  const name = named.value ?? wish;
  const sign = side.value === 'LH' ? '-600 mm' : side.value === 'RH' ? '600 mm' : '0 mm';
  const begin = async (e: Event) => {
    e.preventDefault();
    const at = x.value.trim() || y.value.trim() ? [x.value.trim() || sign, y.value.trim() || '900 mm'] : undefined;
    refused.value = (await store.do('lamp', { name: name.trim(), end: end.value, side: side.value, at }, true)) ?? [];
    if (refused.value.length > 0) return;
    const lamp = name.trim();
    if (driven.value) await drive(lamp);
    showLamp(lamp);
  };
  return (
    <form class="layout-form" onSubmit={begin} aria-label="New lamp">
      <div class="panel-head">
        <h2>New lamp</h2>
        {lampNames.value.length > 0 && (
          <button type="button" class="quiet" onClick={() => (form.value = null)} aria-label="Do not begin one">
            ✕
          </button>
        )}
      </div>
      <label>
        Name
        <input ref={first} value={name} onInput={(e) => (named.value = e.currentTarget.value)} />
      </label>
      <div class="exact-two">
        <label>
          End
          <select value={end.value} onChange={(e) => (end.value = e.currentTarget.value)}>
            <option>rear</option>
            <option>front</option>
          </select>
        </label>
        <label>
          Side, by the driver's seat
          <select value={side.value} onChange={(e) => (side.value = e.currentTarget.value)}>
            <option>LH</option>
            <option>RH</option>
            <option>centre</option>
          </select>
        </label>
      </div>
      <div class="exact-two">
        <label>
          Middle of its face, x
          <input value={x.value} placeholder={`if empty: ${sign}`} onInput={(e) => (x.value = e.currentTarget.value)} />
        </label>
        <label>
          and y
          <input value={y.value} placeholder="if empty: 900 mm" onInput={(e) => (y.value = e.currentTarget.value)} />
        </label>
      </div>
      <p class="faint">x to the driver's right of the car's middle (LH is below 0), y up from the road. It can be said later.</p>
      <label class="tick">
        <input type="checkbox" checked={driven.value} onChange={(e) => (driven.value = e.currentTarget.checked)} />
        With a module that drives it
      </label>
      <button class="strong">Begin the lamp</button>
      {refused.value.map((d) => (
        <Trouble d={d} where={false} />
      ))}
    </form>
  );
}

const otherSide = (name: string) => name.split('-').map((w) => ({ lh: 'rh', rh: 'lh', left: 'right', right: 'left' })[w] ?? w).join('-');

export function OppositeHand({ d }: { d: Drawing }) {
  const j = job.value!;
  const module = j.modules.find((m) => m.lamp === d.lamp.name);
  const other = (name: string, taken: string[]) => {
    const wish = otherSide(name);
    return freeName(taken, wish === name ? `${name}-${d.lamp.place.side === 'LH' ? 'rh' : 'lh'}` : wish);
  };
  const name = useSignal(other(d.lamp.name, lampNames.value));
  const mod = useSignal(module ? other(module.name, j.modules.map((m) => m.name)) : '');
  const refused = useSignal<Diagnostic[]>([]);
  const side = d.lamp.place.side === 'LH' ? 'RH' : 'LH';
  return (
    <form
      class="layout-form"
      aria-label="Opposite hand"
      onSubmit={async (e) => {
        e.preventDefault();
        const lamp = name.value.trim();
        refused.value = (await store.do('opposite', { of: d.lamp.name, name: lamp, module: mod.value.trim() || undefined }, true)) ?? [];
        if (refused.value.length === 0) showLamp(lamp);
      }}
    >
      <div class="panel-head">
        <h2>Opposite hand</h2>
        <button type="button" class="quiet" onClick={() => (form.value = null)} aria-label="Do not make it">
          ✕
        </button>
      </div>
      <p>
        The {side} lamp is the reflection of {d.lamp.name}: drawn once, always alike, with wiring of its own. Turn signals of the {side} side come with it.
      </p>
      <label>
        Name of the {side} lamp
        <input value={name.value} onInput={(e) => (name.value = e.currentTarget.value)} />
      </label>
      {module ? (
        <label>
          Its module, soldered like {module.name}
          <input value={mod.value} placeholder="none" onInput={(e) => (mod.value = e.currentTarget.value)} />
        </label>
      ) : (
        <p class="faint">{d.lamp.name} has no module yet, so the other hand gets none either.</p>
      )}
      <button class="strong">Make the {side} lamp</button>
      {refused.value.map((x) => (
        <Trouble d={x} where={false} />
      ))}
    </form>
  );
}
