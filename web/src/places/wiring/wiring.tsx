// Wiring: one module, its lamp against the outputs of its board. Hang groups, walk the real lamp, see what changed.

import { useEffect } from 'preact/hooks';
import { offer } from '../../engine/actions';
import type { Lamp, Point } from '../../engine/types';
import { boxOf } from '../../picture/scene';
import { inspect, job, shown, state } from '../../ui/state';
import { Changes } from './changelist';
import { Hang } from './hang';
import { Nothing } from './nothing';
import { alike, changes, chosen, hand, pointed, pointedOutput, showModule, view, wiring, type View } from './state';
import { Walk } from './walkview';
import { recover, walkOf } from './walks';

export function WiringPlace() {
  const w = wiring.value;
  const known = state.value.walks !== null;
  useEffect(() => {
    if (w && known) recover(w);
  }, [w?.module.name, known]);
  useEffect(() => {
    pointed.value = pointedOutput.value = null; // it may have gone while another place was open
    return offer(
      { id: 'wiring-hang', says: 'Wiring: hang groups on outputs', run: () => (view.value = 'hang') },
      { id: 'wiring-walk', says: 'Wiring: walk the real lamp', more: 'press click lit', run: () => (view.value = 'walk') },
      { id: 'wiring-changes', says: 'Wiring: what changed against what was soldered', run: () => (view.value = 'changes') },
    );
  }, []);
  if (!w) return <Nothing />;
  return (
    <div class={`wiring view-${view.value} ${shape(w.lamp) > wideFrom ? 'wide' : ''}`} style={{ '--shape': shape(w.lamp) }}>
      <Controls />
      {view.value === 'hang' && <Hang key={w.module.name} w={w} />}
      {view.value === 'walk' && <Walk key={w.module.name} w={w} entered={() => (view.value = 'hang')} />}
      {view.value === 'changes' && <Changes job={job.value!} list={changes.value} />}
    </div>
  );
}

const wideFrom = 3.5; // a lamp that is so many times wider than high lies above its outputs

function shape(lamp: Lamp): number {
  const box = boxOf([...lamp.outline, ...lamp.leds.map((l): Point => [l[0], l[1]])]);
  return Math.min(60, Math.max(0.1, (box.x1 - box.x0) / Math.max(1, box.y1 - box.y0) || 1));
}

function Controls() {
  const j = shown.value!;
  const w = wiring.value!;
  const other = hand.value;
  const noted = walkOf(w).notes.length;
  const count = changes.value.reduce((n, c) => n + c.changes.length, 0);
  const open = (v: View) => {
    chosen.value = pointed.value = pointedOutput.value = null;
    view.value = v;
  };
  const tabs: [View, string, number][] = [
    ['hang', 'Hang', 0],
    ['walk', 'Walk', noted],
    ['changes', 'Changes', count],
  ];
  return (
    <div class="controls">
      <label class="controls-routine">
        <span class="visually-hidden">Module</span>
        <select value={w.module.name} onChange={(e) => showModule(e.currentTarget.value)}>
          {j.modules.map((m) => (
            <option value={m.name}>{m.name}</option>
          ))}
        </select>
      </label>
      {other && (
        <div class="segments" role="group" aria-label="Hand">
          {hands(w.module.name, other.name).map(([side, name]) => (
            <button aria-pressed={name === w.module.name} onClick={() => name !== w.module.name && showModule(name)} title={name}>
              {side}
            </button>
          ))}
        </div>
      )}
      {other && view.value === 'hang' && (
        <button aria-pressed={alike.value} onClick={() => (alike.value = !alike.value)} title={`What is done here is done to ${other.name} in the same step`}>
          Both hands alike
        </button>
      )}
      <button class="quiet" onClick={() => inspect(['modules', w.module.name])} title="Its board, lamp, feed and wiring as they are written">
        Edit
      </button>
      <span class="faint wiring-board">
        {w.module.board}, {w.module.outputs} outputs
      </span>
      <span class="status-fill" />
      <div class="wiring-views" role="group" aria-label="View">
        {tabs.map(([v, name, n]) => (
          <button class="tab" aria-pressed={view.value === v} onClick={() => open(v)}>
            {name}
            {n > 0 && <span class="count">{n}</span>}
          </button>
        ))}
      </div>
    </div>
  );
}

// hands gives both modules of a pair, LH first.
function hands(one: string, other: string): [string, string][] {
  const j = shown.value!;
  const side = (name: string) => j.lamps.find((l) => l.name === j.modules.find((m) => m.name === name)?.lamp)?.place.side ?? '';
  return [one, other].map((name): [string, string] => [side(name), name]).sort((a, b) => a[0].localeCompare(b[0]));
}
