// The first lamp of a new job: LEDs in columns and rows, every column a group, and a module that drives it.

import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { catalogue, wantCatalogue } from '../ui/catalogue';
import type { Begin } from './start';

export interface LampOrder {
  name: string;
  title: string;
  use: string;
  side: string;
  end: string;
  columns: number;
  rows: number;
  spacingMm: number;
  part: string;
}

export function NewLamp({ uses, begin }: { uses: Record<string, string>; begin: Begin }) {
  const order = useSignal<LampOrder>({ name: 'my-tail', title: '', use: 'road-us', side: 'LH', end: 'rear', columns: 8, rows: 3, spacingMm: 12, part: 'red-622' });
  useEffect(wantCatalogue, []);
  const o = order.value;
  const parts = catalogue.value.parts.length > 0 ? catalogue.value.parts : [{ name: o.part, about: '' }];
  const put = (part: Partial<LampOrder>) => (order.value = { ...o, ...part });
  return (
    <form
      onSubmit={(e) => {
        e.preventDefault();
        begin({ way: 'lamp', ...order.peek() });
      }}
    >
      <div class="start-fields">
        <Line name="File">
          <input value={o.name} onInput={(e) => put({ name: e.currentTarget.value })} />
        </Line>
        <Line name="Title">
          <input value={o.title} placeholder="if empty: A new lamp" onInput={(e) => put({ title: e.currentTarget.value })} />
        </Line>
        <Line name="For">
          <Pick value={o.use} options={uses} set={(use) => put({ use })} />
        </Line>
        <Line name="End">
          <Pick value={o.end} options={{ rear: 'rear', front: 'front' }} set={(end) => put({ end })} />
        </Line>
        <Line name="Side, by the driver's seat">
          <Pick value={o.side} options={{ LH: 'LH', RH: 'RH', centre: 'centre' }} set={(side) => put({ side })} />
        </Line>
        <Line name="LED">
          <Pick value={o.part} options={Object.fromEntries(parts.map((p) => [p.name, p.about ? `${p.name}: ${p.about}` : p.name]))} set={(part) => put({ part })} />
        </Line>
        <Line name="Columns, each a group">
          <input type="number" min={1} max={100} value={o.columns} onInput={(e) => put({ columns: e.currentTarget.valueAsNumber || 0 })} />
        </Line>
        <Line name="Rows">
          <input type="number" min={1} max={50} value={o.rows} onInput={(e) => put({ rows: e.currentTarget.valueAsNumber || 0 })} />
        </Line>
        <Line name="Spacing, mm">
          <input type="number" min={0.5} max={200} step="any" value={o.spacingMm} onInput={(e) => put({ spacingMm: e.currentTarget.valueAsNumber || 0 })} />
        </Line>
      </div>
      <p class="faint">
        {o.columns * o.rows || 0} LEDs in {o.columns || 0} groups. Everything can be changed later.
      </p>
      <button class="strong">Begin the lamp</button>
    </form>
  );
}

function Line({ name, children }: { name: string; children: preact.ComponentChildren }) {
  return (
    <label class="start-field">
      <span>{name}</span>
      {children}
    </label>
  );
}

function Pick({ value, options, set }: { value: string; options: Record<string, string>; set: (v: string) => void }) {
  return (
    <select value={value} onChange={(e) => set(e.currentTarget.value)}>
      {Object.entries(options).map(([k, says]) => (
        <option value={k}>{says}</option>
      ))}
    </select>
  );
}
