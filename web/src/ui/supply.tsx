// A slider for the car's supply, with marks where something changes: how deep a crank dips, a weak battery, the engine running, the end of
// the usual range, a jump start from a truck.

import { useSignal } from '@preact/signals';
import { useId } from 'preact/hooks';

const marks: [number, string][] = [
  [6.5, 'deep in a crank'],
  [9, 'a weak battery'],
  [13.5, 'the engine runs'],
  [16, 'upper end of the usual range'],
  [24, 'jump start from a truck'],
];
const most = 26; // V

export const volts = (v: number) => `${Number(v.toFixed(1))} V`;

export function Supply({ value, set, label = 'Supply' }: { value: number; set: (v: number) => void; label?: string }) {
  return <Slider label={label} value={value} set={set} least={0} most={most} step={0.1} marks={marks} says={volts} />;
}

const heats: [number, string][] = [
  [-40, 'the coldest'],
  [25, 'a mild day'],
  [85, 'a lamp in the sun'],
  [105, 'the hottest that most parts bear'],
];

export function Heat({ value, set }: { value: number; set: (v: number) => void }) {
  return <Slider label="Heat" value={value} set={set} least={-40} most={125} step={1} marks={heats} says={(v) => `${v} °C`} />;
}

interface Props {
  label: string;
  value: number;
  set: (v: number) => void;
  least: number;
  most: number;
  step: number;
  marks: [number, string][];
  says: (v: number) => string;
}

// Slider sends what is chosen at once, and takes what comes back while nobody moves it.
function Slider({ label, value, set, least, most, step, marks, says }: Props) {
  const moved = useSignal<number | null>(null);
  const id = useId();
  const now = moved.value ?? value;
  const place = (v: number) => (v - least) / (most - least);
  return (
    <div class="slider">
      <label for={id}>{label}</label>
      <output for={id}>{says(now)}</output>
      <div class="slider-track">
        <input
          id={id}
          type="range"
          min={least}
          max={most}
          step={step}
          value={now}
          aria-valuetext={says(now)}
          onInput={(e) => {
            moved.value = Number(e.currentTarget.value);
            set(moved.value);
          }}
          onChange={() => (moved.value = null)}
        />
        <div class="slider-marks">
          {marks.map(([v, why]) => (
            <button class="slider-mark" style={{ '--at': place(v) }} aria-pressed={Math.abs(now - v) < step / 2} title={`${says(v)}: ${why}`} onClick={() => set(v)}>
              {String(v).replace('-', '−')}
            </button>
          ))}
        </div>
      </div>
    </div>
  );
}
