// The drawer: inspector, problems or text, beside the place.

import { useLayoutEffect, useRef } from 'preact/hooks';
import { Inspector } from '../inspector/inspector';
import { counts, panel, type Panel } from '../ui/state';
import { Problems } from './problems';
import { TextPane } from './text';

const names: Record<Panel, string> = { inspect: 'Inspect', problems: 'Problems', text: 'Text' };

export function Drawer() {
  // Who closes it is again where the drawer was opened from.
  const box = useRef<HTMLElement>(null);
  useLayoutEffect(() => {
    const before = document.activeElement;
    const own = box.current;
    return () => {
      if (!own?.contains(document.activeElement)) return;
      const back = before instanceof HTMLElement && before !== document.body && before.isConnected ? before : document.getElementById('main');
      back?.focus({ preventScroll: true });
    };
  }, []);
  const c = counts.value;
  const n = c.errors + c.cautions + c.notes;
  return (
    <aside ref={box} class="drawer" aria-label={names[panel.value!]}>
      <div class="drawer-tabs" role="group" aria-label="Panels">
        {(Object.keys(names) as Panel[]).map((p) => (
          <button class="tab" aria-pressed={panel.value === p} onClick={() => (panel.value = p)}>
            {names[p]}
            {p === 'problems' && n > 0 && <span class="count">{n}</span>}
          </button>
        ))}
        <span class="status-fill" />
        <button class="quiet" onClick={() => (panel.value = null)} aria-label="Close the panel" title="Close the panel (Escape)">
          ✕
        </button>
      </div>
      {panel.value === 'inspect' && <Inspector />}
      {panel.value === 'problems' && <Problems />}
      {panel.value === 'text' && <TextPane />}
    </aside>
  );
}
