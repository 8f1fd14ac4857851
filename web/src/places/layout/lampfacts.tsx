// The lamp itself: where it sits, and all that is drawn of it, to be chosen without pointing.

import { setAt } from '../../inspector/change';
import { at, isMapping } from '../../engine/tree';
import { inspect, job, store } from '../../ui/state';
import { many } from '../../ui/words';
import type { Drawing } from './drawing';
import { itemOf } from './drawing';
import { Exact, Pair, Pick } from './exact';
import { kindNames } from './pattern';
import { choose, showLamp, take } from './state';

export function LampFacts({ d }: { d: Drawing }) {
  const { lamp } = d;
  const base = ['lamps', lamp.name];
  const place = at(job.value!.tree, [...base, 'place']);
  const text = (key: string, i: string) => {
    const v = isMapping(place) ? at(place, [key, i]) : undefined;
    return typeof v === 'string' ? v : '';
  };
  const renamed = async (to: string) => {
    const problems = await store.do('rename', { kind: 'lamp', from: lamp.name, to }, true);
    if (!problems) showLamp(to);
    return problems;
  };
  return (
    <section class="lamp-facts" aria-label="The lamp">
      <div class="panel-head">
        <h2>Lamp {lamp.name}</h2>
        <button class="link" onClick={() => inspect(base)}>
          Inspect
        </button>
      </div>
      <div class="exacts">
        <Exact name="Name" value={lamp.name} set={renamed} />
        {d.hand && (
          <p>
            {lamp.place.end} {lamp.place.side}, its middle at {lamp.place.x} mm, {lamp.place.y} mm. It is always the reflection of {d.on}; only its wiring is its own.
          </p>
        )}
        {!d.hand && (
          <>
            <Exact name="What it is" value={lamp.kind} hint="such as tail lamp, opened" set={(v) => setAt([...base, 'kind'], v || null)} />
            <div class="pair" role="group" aria-label="End and side">
              <span class="pair-name">End, side</span>
              <Pick name="End" value={lamp.place.end} options={[['rear', 'rear'], ['front', 'front']]} set={(v) => void tellAll(setAt([...base, 'place', 'end'], v))} />
              <Pick name="Side" value={lamp.place.side} options={[['LH', 'LH'], ['RH', 'RH'], ['centre', 'centre']]} set={(v) => void toSide(base, v, text('at', '0'))} />
            </div>
            <Pair name="On the car" x={text('at', '0')} y={text('at', '1')} set={(x, y) => setAt([...base, 'place', 'at'], [x, y])} />
            <p class="faint exact-says">LH and RH by the driver's seat. On the car stands the middle of its face: x to the driver's right, y up from the road.</p>
          </>
        )}
      </div>
      {!d.hand && (
        <ul class="drawn-list" aria-label="What is drawn">
          {d.patterns.map((p) => (
            <li>
              <button class="entry" onClick={() => choose([itemOf(p)])}>
                <span class="entry-name">{p.name || '—'}</span>
                <span class="entry-says">
                  {kindNames[p.kind]}, {many(p.leds.length, 'LED')}
                </span>
              </button>
            </li>
          ))}
          {d.paths.map((p) => (
            <li>
              <button class="entry" onClick={() => choose([`paths.${p.name}`])}>
                <span class="entry-name">{p.name}</span>
                <span class="entry-says">light path, {many(p.points.length, 'corner')}</span>
              </button>
            </li>
          ))}
          <li>
            {lamp.outline.length > 0 ? (
              <button class="entry" onClick={() => choose(['outline'])}>
                <span class="entry-name">outline</span>
                <span class="entry-says">{many(lamp.outline.length, 'corner')}</span>
              </button>
            ) : (
              <button class="entry" onClick={() => take('outline')}>
                <span class="entry-name">outline</span>
                <span class="entry-says">not drawn yet: draw it</span>
              </button>
            )}
          </li>
        </ul>
      )}
    </section>
  );
}

// toSide brings a lamp to the other side of the car, with the place that goes with it: one step.
function toSide(base: string[], side: string, x: string) {
  const there = x.trim().replace(/^-/, '');
  const place = side === 'centre' ? '0 mm' : side === 'LH' ? `-${/^0\b/.test(there) ? '600 mm' : there}` : /^0\b/.test(there) ? '600 mm' : there;
  return store.do('edits', {
    label: `${base[1]} to ${side}`,
    edits: [
      { op: 'set', path: [...base, 'place', 'side'], value: side },
      { op: 'set', path: [...base, 'place', 'at', '0'], value: place },
    ],
  });
}

async function tellAll(done: ReturnType<typeof setAt>) {
  const problems = await done;
  if (problems) store.tell({ problems });
}
