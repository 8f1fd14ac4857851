// What is chosen, and what can be done with it; with nothing chosen, the lamp itself.

import { useSignal } from '@preact/signals';
import type { Diagnostic, Point } from '../../engine/types';
import { millimetres } from '../../engine/units';
import { setAt } from '../../inspector/change';
import { Trouble } from '../../ui/diagnostic';
import { inspect, job, store } from '../../ui/state';
import { many } from '../../ui/words';
import { erase, join, shift, unjoin } from './acts';
import { copyFromButton } from './clip';
import { chosenLEDs, lineOf, patternOf, type Drawing, type Item } from './drawing';
import { Exact } from './exact';
import { Corners, kindNames, PatternValues } from './pattern';
import { choose, chosen, corner } from './state';
import { lengthOf } from './unroll';

export function Chosen({ d }: { d: Drawing }) {
  const items = chosen.value;
  const only = items.length === 1 ? items[0]! : null;
  const p = only ? patternOf(d, only) : undefined;
  const singles = chosenLEDs(d, items);
  return (
    <section class="chosen" aria-label="What is chosen">
      <div class="panel-head">
        <h2>{p ? (kindNames[p.kind] ?? p.kind) : only ? titleOf(d, only) : many(items.length, 'thing') + ' chosen'}</h2>
        <button class="quiet" onClick={() => choose([])} aria-label="Choose nothing" title="Choose nothing (Escape)">
          ✕
        </button>
      </div>
      {p && <PatternValues d={d} p={p} />}
      {only && !p && <LineValues key={only} d={d} item={only} />}
      {!only && <Several d={d} items={items} />}
      {singles && singles.length > 1 && <Join key={singles.join()} d={d} leds={singles} />}
      {singles && singles.some((name) => d.patterns.some((q) => q.name === name && q.group)) && (
        <button onClick={() => void unjoin(d, singles.filter((name) => d.patterns.some((q) => q.name === name && q.group)))}>Out of {singles.length === 1 ? 'its group' : 'their groups'}</button>
      )}
      <MoveBy />
      <div class="row chosen-acts">
        {items.some((i) => i.startsWith('leds.')) && (
          <button onClick={() => void copyFromButton()} title="Ctrl C">
            Copy
          </button>
        )}
        {corner.value !== null && only ? (
          <button onClick={() => void erase()} title="Delete">
            Delete corner {corner.value + 1}
          </button>
        ) : (
          <button onClick={() => void erase()} title="Delete">
            Delete
          </button>
        )}
      </div>
      <p class="faint">Arrow keys move by 1 mm, with Shift by 0.1 mm.</p>
    </section>
  );
}

export function titleOf(d: Drawing, item: Item): string {
  const p = patternOf(d, item);
  if (p) return `${kindNames[p.kind] ?? p.kind} ${p.name}`;
  return item === 'outline' ? 'Outline' : `Light path ${item.slice('paths.'.length)}`;
}

function LineValues({ d, item }: { d: Drawing; item: Item }) {
  const line = lineOf(job.value!.tree, d, item);
  if (!line) return null;
  const points = item === 'outline' ? d.lamp.outline : (d.paths.find((p) => `paths.${p.name}` === item)?.points ?? []);
  const name = item.slice('paths.'.length);
  return (
    <div class="exacts">
      {item !== 'outline' && <Exact name="Name" value={name} set={(to) => renamed(name, to)} />}
      <Corners points={line.points} set={(next) => setAt(line.path, next)} />
      <p class="faint exact-says">
        {many(points.length, 'corner')}, {Number(lengthOf(line.closed && points[0] ? [...points, points[0]] : points).toFixed(1))} mm {line.closed ? 'round' : 'long'}. Drag a corner; drag a + for a new one.{' '}
        <button class="link" onClick={() => inspect(line.path.slice(0, item === 'outline' ? 3 : 4))}>
          Inspect
        </button>
      </p>
    </div>
  );
}

async function renamed(from: string, to: string): Promise<Diagnostic[] | null> {
  const problems = await store.do('rename', { kind: 'path', from, to }, true);
  if (!problems) choose([`paths.${to}`]);
  return problems;
}

function Several({ d, items }: { d: Drawing; items: readonly Item[] }) {
  const all = items.map((i) => patternOf(d, i)).filter((p) => p !== undefined);
  const leds = all.reduce((n, p) => n + p.leds.length, 0);
  return (
    <ul class="chosen-list">
      {items.slice(0, 12).map((i) => (
        <li>
          <button class="link" onClick={() => choose([i])}>
            {titleOf(d, i)}
          </button>
        </li>
      ))}
      {items.length > 12 && <li class="faint">and {items.length - 12} more</li>}
      {leds > 0 && <li class="faint">{many(leds, 'LED')} together</li>}
    </ul>
  );
}

// Join lets single LEDs light together.
function Join({ d, leds }: { d: Drawing; leds: string[] }) {
  const stem = leds[0]!.replace(/-\d+$/, '');
  const taken = new Set([...d.patterns.flatMap((p) => [p.name, p.group]), ...d.lamp.zones.map((z) => z.name)]);
  let wish = `${stem}-group`;
  for (let n = 2; taken.has(wish); n++) wish = `${stem}-group-${n}`;
  const name = useSignal(wish);
  const refused = useSignal<Diagnostic[]>([]);
  return (
    <form
      class="inline-form"
      onSubmit={async (e) => {
        e.preventDefault();
        refused.value = (await join(d, leds, name.value.trim())) ?? [];
      }}
    >
      <label>
        Light together as
        <input value={name.value} onInput={(e) => (name.value = e.currentTarget.value)} />
      </label>
      <button class="strong">Join {leds.length}</button>
      {refused.value.map((x) => (
        <Trouble d={x} where={false} />
      ))}
    </form>
  );
}

// MoveBy moves what is chosen by an exact distance.
function MoveBy() {
  const x = useSignal('');
  const y = useSignal('');
  const wrong = useSignal('');
  return (
    <form
      class="move-by"
      onSubmit={(e) => {
        e.preventDefault();
        const by: (number | null)[] = [x.value, y.value].map((v) => (v.trim() === '' ? 0 : millimetres(v)));
        if (by.some((v) => v === null)) return void (wrong.value = 'A distance is written like 12.5 mm or 1/2 in.');
        wrong.value = '';
        void shift(by as Point).then((p) => p ?? ((x.value = ''), (y.value = '')));
      }}
    >
      <span class="pair-name">Move</span>
      <input aria-label="to the right by" placeholder="right" value={x.value} onInput={(e) => (x.value = e.currentTarget.value)} />
      <input aria-label="up by" placeholder="up" value={y.value} onInput={(e) => (y.value = e.currentTarget.value)} />
      <button>Move</button>
      {wrong.value && (
        <p class="bad" role="alert">
          {wrong.value}
        </p>
      )}
    </form>
  );
}
