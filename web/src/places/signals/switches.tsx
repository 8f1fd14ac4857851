// The switches: every input to press and hold by pointer or by key, to leave on, or to flash; the supply, heat, and what is written down.

import { useSignal } from '@preact/signals';
import { standing, switchesOf, type Switch } from '../../engine/bench';
import { at } from '../../engine/tree';
import type { Input } from '../../engine/types';
import { bench, turn } from '../../ui/bench';
import { Mend } from '../../ui/mend';
import { HoldButton, useHoldKeys } from '../../ui/hold';
import { Heat, Supply } from '../../ui/supply';
import { go, job, settings, store } from '../../ui/state';
import { plain } from '../../engine/api';
import { text, view } from './state';

const letters = 'ASDFGHJKL'; // the home row, a letter an input

export function Switches({ inputs }: { inputs: Input[] }) {
  const all = switchesOf(inputs);
  const single = all.filter((s) => s.name !== 'hazard');
  const keyOf = (s: Switch) => letters[single.indexOf(s)] ?? '';
  useHoldKeys(Object.fromEntries(single.filter((s) => keyOf(s)).map((s) => [keyOf(s), s.inputs])));
  const b = bench.value;
  const driven = job.value!.modules.length > 0;
  const narrow = innerWidth <= 960; // the ladder lies below (signals.css)
  const flasher = b?.flasher ?? { rate: 90, share: 50 };
  const heats = ['shows-off-at', 'halve-at'].some((k) => at(job.value!.tree, ['guard', k]) !== undefined);
  return (
    <div class="switches">
      {inputs.length === 0 && (
        <div class="switches-none">
          <p>No switch yet: nothing can be asked for. {driven ? `${narrow ? 'Below' : 'On the right'}, add a signal for the brake or a turn, or a show on a remote; its wire comes with it.` : 'A wire of the car ends at a module, so give a lamp a module first.'}</p>
          {!driven && <button onClick={() => go('wiring')}>Go to Wiring</button>}
        </div>
      )}
      {inputs.length > 0 && b?.problems?.map((d) => <Mend d={d} />)}
      <div class="switches-grid" role="group" aria-label="Switches">
        {all.map((s) => (
          <Tile key={s.name} s={s} letter={settings.value.letters ? keyOf(s) : ''} stands={standing(s, b)} />
        ))}
      </div>
      <div class="switches-car">
        <Supply value={b?.supply ?? 13.5} set={(supply) => void turn({ supply })} />
        {heats && <Heat value={b?.heat ?? 25} set={(heat) => void turn({ heat })} />}
      </div>
      <div class="row switches-foot">
        <Record />
        <button aria-pressed={b?.crank ?? false} onClick={() => void turn({ crank: true })} title="Start the engine: the supply dips for two seconds">
          Crank
        </button>
        <button aria-pressed={b ? !b.battery : false} onClick={() => void turn({ battery: !(b?.battery ?? true) })} title="No battery feed at any module: what the car's own wires feed goes on">
          Battery gone
        </button>
        <label class="switches-number">
          <span>Flasher</span>
          <Number value={flasher.rate} least={30} most={180} set={(rate) => void turn({ flasher: { ...flasher, rate } })} label="Flashes a minute" />
          <span class="faint">/min, on</span>
          <Number value={flasher.share} least={20} most={80} set={(share) => void turn({ flasher: { ...flasher, share } })} label="Share of a flash that is on, per cent" />
          <span class="faint">%</span>
        </label>
        <button class="quiet" onClick={() => void turn({ rest: true })} title="Every switch off, 13.5 V, 25 °C">
          All off
        </button>
      </div>
    </div>
  );
}

function Tile({ s, letter, stands }: { s: Switch; letter: string; stands: string }) {
  const on = stands !== '';
  const set = (how: 'on' | 'flash') => void turn({ switches: Object.fromEntries(s.inputs.map((i) => [i, stands === how ? 'off' : how])) });
  const word = { '': 'off', on: 'on', flash: 'flashes', held: 'held' }[stands] ?? stands;
  return (
    <div class={`switch ${on ? 'is-on' : ''}`} data-switch={s.name}>
      <HoldButton inputs={s.inputs} class="switch-hold" pressed={on} says={`On as long as it is held${letter ? ` (key ${letter})` : ''}`}>
        <span class="switch-name">{s.says}</span>
        {letter && <kbd>{letter}</kbd>}
        <span class="switch-word">{word}</span>
      </HoldButton>
      {s.flashes ? (
        <button aria-pressed={stands === 'flash'} aria-label={`${s.says}: flash`} onClick={() => set('flash')} title="Goes on and off with the flasher until it is pressed again">
          Flash
        </button>
      ) : (
        <button aria-pressed={stands === 'on'} aria-label={`${s.says}: leave on`} onClick={() => set('on')} title="Stays on until it is pressed again">
          On
        </button>
      )}
    </div>
  );
}

function Number({ value, least, most, set, label }: { value: number; least: number; most: number; set: (v: number) => void; label: string }) {
  const typed = useSignal<string | null>(null);
  const take = () => {
    const v = globalThis.Number(typed.peek()?.replace(',', '.'));
    if (typed.peek() !== null && globalThis.Number.isFinite(v)) set(v);
    typed.value = null;
  };
  return (
    <input
      aria-label={label}
      type="number"
      min={least}
      max={most}
      value={typed.value ?? String(value)}
      onInput={(e) => (typed.value = e.currentTarget.value)}
      onChange={take}
    />
  );
}

// Record writes down what is done; when it ends, the script stands in the field of the script view.
function Record() {
  const on = bench.value?.record ?? false;
  const end = async () => {
    const { problems, recorded } = await turn({ record: false });
    if (problems) return;
    if (!recorded) return store.tell({ problems: [plain('nothing was pressed while it was written down', 'record again and press something')] });
    text.value = recorded.replaceAll(' ', '\n');
    view.value = 'script';
  };
  return (
    <button class={on ? 'strong' : ''} aria-pressed={on} onClick={() => (on ? void end() : void turn({ record: true }))} title="Write down what is pressed, as a script">
      {on ? '■ End the recording' : '● Record'}
    </button>
  );
}
