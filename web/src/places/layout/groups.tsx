// Groups, zones and functions: groups are chosen on the drawing or in the list, and made into zones or given a road function.

import { useSignal } from '@preact/signals';
import { at, isMapping } from '../../engine/tree';
import type { Diagnostic } from '../../engine/types';
import { css } from '../../picture/ink';
import { setAt, removeAt } from '../../inspector/change';
import { Trouble } from '../../ui/diagnostic';
import { inspect, job } from '../../ui/state';
import { many } from '../../ui/words';
import { serve, zone } from './acts';
import { blockOf, splitGroup, type Drawing } from './drawing';
import { chosenGroups, tab, choose } from './state';

export const functions = ['turn', 'stop', 'tail', 'reverse', 'drl', 'fog', 'side-marker', 'park'];

export function Groups({ d }: { d: Drawing }) {
  const { lamp } = d;
  const now = chosenGroups.value;
  const names = (groups: number[]) => groups.map((g) => lamp.groups[g]?.name ?? '');
  const zones = at(job.value!.tree, ['lamps', d.on, 'zones']);
  const own = isMapping(zones) ? Object.keys(zones).filter((k) => k !== 'note') : [];
  if (lamp.groups.length === 0)
    return (
      <section class="groups">
        <h2>Groups</h2>
        <p>A group is what one output switches. There is none yet: draw LEDs first; each pattern says how it is divided.</p>
        <button onClick={() => (tab.value = 'draw')}>Draw</button>
      </section>
    );
  const blocks = [...new Set(lamp.groups.map((g) => splitGroup(g.name)[0]))];
  const toggle = (list: string[]) => (chosenGroups.value = list.every((n) => now.includes(n)) ? now.filter((n) => !list.includes(n)) : [...new Set([...now, ...list])]);
  return (
    <section class="groups" aria-label="Groups, zones and functions">
      <div class="panel-head">
        <h2>{now.length > 0 ? `${many(now.length, 'group')} chosen` : 'Groups'}</h2>
        {now.length > 0 && (
          <button class="quiet" onClick={() => (chosenGroups.value = [])} aria-label="Choose no group">
            ✕
          </button>
        )}
      </div>
      <p class="faint">Click LEDs for their groups, or drag a rectangle round several; Shift adds.</p>
      <ul class="block-list">
        {blocks.map((block) => {
          const of = lamp.groups.filter((g) => splitGroup(g.name)[0] === block);
          const p = d.patterns.find((x) => blockOf(x) === block);
          const all = of.map((g) => g.name);
          return (
            <li>
              <button class="entry" aria-pressed={all.every((n) => now.includes(n))} onClick={() => toggle(all)}>
                <span class="entry-name">
                  <span class="group-dot" style={{ background: css(of[0]?.colour ?? '') }} /> {block}
                </span>
                <span class="entry-says">
                  {many(of.length, 'group')}, {of[0]?.colour}
                </span>
              </button>
              {p && p.kind !== 'led' && !d.hand && (
                <button class="quiet" onClick={() => ((tab.value = 'draw'), choose([`leds.${p.index}`]))} title="How its LEDs are divided">
                  {p.group}
                </button>
              )}
            </li>
          );
        })}
      </ul>
      {now.length > 0 && !d.hand && <MakeZone d={d} />}
      {lamp.zones.some((z) => own.includes(z.name)) && <h3>Zones</h3>}
      <ul class="block-list">
        {lamp.zones
          .filter((z) => own.includes(z.name))
          .map((z) => (
            <li>
              <button class="entry" aria-pressed={same(names(z.groups), now)} onClick={() => (chosenGroups.value = names(z.groups))}>
                <span class="entry-name">{z.name}</span>
                <span class="entry-says">{many(z.groups.length, 'group')}</span>
              </button>
              {!d.hand && (
                <>
                  {now.length > 0 && !same(names(z.groups), now) && (
                    <button class="quiet" title="It is made of the chosen groups from now on" onClick={() => void zone(d, z.name, now)}>
                      Set
                    </button>
                  )}
                  <button class="quiet" onClick={() => inspect(['lamps', d.on, 'zones', z.name])} title="With, without, colour">
                    Edit
                  </button>
                  <button class="quiet" aria-label={`Delete zone ${z.name}`} title="Delete" onClick={() => void removeAt(['lamps', d.on, 'zones', z.name])}>
                    ✕
                  </button>
                </>
              )}
            </li>
          ))}
      </ul>
      <h3>Road functions</h3>
      {lamp.functions.length === 0 && <p class="faint">None yet. {d.hand ? '' : now.length > 0 ? 'Choose one above.' : 'Choose the groups that serve one.'}</p>}
      <ul class="block-list">
        {lamp.functions.map((f) => (
          <li>
            <button class="entry" aria-pressed={same(names(f.groups), now)} onClick={() => (chosenGroups.value = names(f.groups))}>
              <span class="entry-name">{f.name}</span>
              <span class="entry-says">{many(f.groups.length, 'group')}</span>
            </button>
            <label class="tick" title="Required: it replaces the car's own lamp. Otherwise it is an extra beside it.">
              <input type="checkbox" checked={f.required} disabled={d.hand} onChange={(e) => void setAt(['lamps', d.on, 'functions', f.name, 'required'], String(e.currentTarget.checked))} />
              required
            </label>
            {!d.hand && (
              <button class="quiet" aria-label={`Delete function ${f.name}`} title="Delete" onClick={() => void removeAt(['lamps', d.on, 'functions', f.name])}>
                ✕
              </button>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

const same = (a: string[], b: readonly string[]) => a.length === b.length && a.every((n) => b.includes(n));

function MakeZone({ d }: { d: Drawing }) {
  const name = useSignal('');
  const use = useSignal('');
  const required = useSignal(true);
  const refused = useSignal<Diagnostic[]>([]);
  return (
    <div class="make-zone">
      <form
        class="inline-form"
        onSubmit={async (e) => {
          e.preventDefault();
          refused.value = (await zone(d, name.value.trim(), chosenGroups.value)) ?? [];
          if (refused.value.length === 0) name.value = '';
        }}
      >
        <label>
          Zone of them
          <input value={name.value} placeholder="its name" onInput={(e) => (name.value = e.currentTarget.value)} />
        </label>
        <button>Make zone</button>
      </form>
      <form
        class="inline-form"
        onSubmit={async (e) => {
          e.preventDefault();
          if (!use.value) return;
          refused.value = (await serve(d, use.value, chosenGroups.value, required.value)) ?? [];
          if (refused.value.length === 0) use.value = '';
        }}
      >
        <label>
          They serve as
          <select value={use.value} onChange={(e) => (use.value = e.currentTarget.value)}>
            <option value="">choose</option>
            {functions.map((f) => (
              <option value={f}>{f}</option>
            ))}
          </select>
        </label>
        <label class="tick" title="It replaces the car's own lamp. Otherwise it is an extra beside it.">
          <input type="checkbox" checked={required.value} onChange={(e) => (required.value = e.currentTarget.checked)} />
          required
        </label>
        <button>Serve</button>
      </form>
      {refused.value.map((x) => (
        <Trouble d={x} where={false} />
      ))}
    </div>
  );
}
