// The bar: which lamp is drawn, its other hand, and what can be done with lamps.

import { plain } from '../../engine/api';
import { inspect, job, store } from '../../ui/state';
import { drawing, form, handOf, lampNames, showLamp } from './state';

export function Bar() {
  const d = drawing.value!;
  const other = handOf.value;
  const sides = other ? [d.lamp.name, other].map((name): [string, string] => [job.value!.lamps.find((l) => l.name === name)?.place.side ?? '', name]).sort((a, b) => a[0].localeCompare(b[0])) : [];
  const remove = async () => {
    const name = d.lamp.name;
    if (!(await store.do('drop', { lamp: name }))) store.tell({ problems: [plain(`lamp ${name} is deleted, with its module and what only it used`, 'undo brings it back')], good: true });
  };
  return (
    <div class="controls">
      <label class="controls-routine">
        <span class="visually-hidden">Lamp</span>
        <select value={d.lamp.name} onChange={(e) => showLamp(e.currentTarget.value)}>
          {lampNames.value.map((name) => (
            <option value={name}>{name}</option>
          ))}
        </select>
      </label>
      {other && (
        <div class="segments" role="group" aria-label="Hand">
          {sides.map(([side, name]) => (
            <button aria-pressed={name === d.lamp.name} onClick={() => name !== d.lamp.name && showLamp(name)} title={name}>
              {side}
            </button>
          ))}
        </div>
      )}
      {!other && !d.hand && d.lamp.place.side !== 'centre' && (
        <button aria-disabled={d.lamp.leds.length === 0 || undefined} onClick={() => d.lamp.leds.length > 0 && (form.value = 'hand')} title={`Make the lamp of the other side, a reflection of ${d.lamp.name}`}>
          Opposite hand
        </button>
      )}
      <button onClick={() => (form.value = 'lamp')}>New lamp</button>
      <span class="status-fill" />
      <button class="quiet" onClick={() => inspect(['lamps', d.lamp.name])} title="Everything that the document says of it">
        Inspect
      </button>
      <button class="quiet" onClick={() => void remove()} title={`Delete ${d.lamp.name}, its module, and what only it used`}>
        Delete lamp
      </button>
    </div>
  );
}
