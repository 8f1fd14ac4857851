// Places whose own view has not come yet: the picture of the car, and the sections of the document that belong there, each a way
// into the inspector. Everything can be seen and changed this way.

import { useEffect, useMemo } from 'preact/hooks';
import { Entries } from '../inspector/entries';
import { at, isMapping } from '../engine/tree';
import type { Job, Lamp } from '../engine/types';
import type { Hit } from '../picture/picture';
import { CarPicture } from '../picture/view';
import { form, inspect, job, panel, path, shown } from '../ui/state';
import { capital } from '../ui/words';

const soft = 150; // level at which lamps stand when nothing plays

export const SignalsPlace = () => <Sections sections={['inputs', 'signals', 'shows', 'outages', 'guard']} pick={(h, j) => inspect(takerOf(j, h.lamp, h.group))} />;

function Sections({ sections, pick }: { sections: string[]; pick: (hit: Hit, j: Job) => void }) {
  const j = job.value!;
  const f = form.value;
  const lamps = shown.value?.lamps ?? [];
  useEffect(() => {
    if (!sections.includes(path.peek()[0] ?? '')) path.value = [sections[0]!];
  }, []);
  const levels = useMemo(() => {
    const first = new Map<string, number>();
    let n = 0;
    for (const l of lamps) {
      first.set(l.name, n);
      n += l.groups.length;
    }
    return { levels: new Uint8Array(n).fill(soft), first };
  }, [lamps]);
  return (
    <div class="sections">
      <div class="sections-picture">
        <CarPicture lamps={lamps} levels={levels} pick={(h) => h && pick(h, j)} />
      </div>
      <div class="sections-lists">
        {f &&
          j.tree !== null &&
          sections.map((s) => {
            const schema = f.at(j.tree, [s]);
            if (!schema) return null;
            const value = at(j.tree, [s]);
            const kind = f.kind(schema);
            return (
              <section class="card" aria-labelledby={`section-${s}`} onClickCapture={() => (panel.value = 'inspect')}>
                <h2 id={`section-${s}`}>{capital(s)}</h2>
                <p class="faint">{schema.description}</p>
                {kind === 'group' ? (
                  <button onClick={() => (path.value = [s])}>{isMapping(value) ? 'Open' : 'Add'}</button>
                ) : (
                  <Entries form={f} path={[s]} schema={schema} value={value} kind={kind} />
                )}
              </section>
            );
          })}
      </div>
    </div>
  );
}

function takerOf(j: Job, lamp: Lamp, group: number): string[] {
  const layer = j.layers.find((l) => l.takes.some((t) => t.lamp === lamp.name && t.groups.includes(group)));
  if (!layer) return ['signals'];
  const section = layer.show ? 'shows' : 'signals';
  const list = at(j.tree, [section]);
  const i = Array.isArray(list) ? list.findIndex((s) => isMapping(s) && layer.name in s) : -1;
  return i >= 0 ? [section, String(i)] : [section];
}
