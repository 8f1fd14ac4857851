// The palette: type a few letters of anything that can be done or opened.

import { useMemo, useState } from 'preact/hooks';
import { actions, type Action } from '../engine/actions';
import { find } from '../engine/fuzzy';
import { Modal } from '../ui/dialog';
import { dialog } from '../ui/state';

const most = 60; // lines that are listed

export function Palette() {
  const [typed, type] = useState('');
  const [chosen, choose] = useState(0);
  const all = useMemo(() => actions(), []);
  const found = useMemo(() => find(typed, all, (a) => `${a.says} ${a.more ?? ''}`).slice(0, most), [typed]);
  const at = Math.min(chosen, found.length - 1);
  const run = (a: Action | undefined) => {
    if (!a) return;
    dialog.value = null;
    a.run();
  };
  const move = (to: number) => {
    const next = Math.max(0, Math.min(found.length - 1, to));
    choose(next);
    document.getElementById(`find-${next}`)?.scrollIntoView({ block: 'nearest' });
  };
  return (
    <Modal title="Find" kind="palette" bare>
      <input
        class="palette-input"
        autofocus
        role="combobox"
        aria-expanded="true"
        aria-controls="found"
        aria-activedescendant={found.length ? `find-${at}` : undefined}
        aria-label="Find an action, a place or a part of the job"
        placeholder="Find an action, a place or a part of the job"
        value={typed}
        onInput={(e) => {
          type(e.currentTarget.value);
          choose(0);
        }}
        onKeyDown={(e) => {
          if (e.key === 'ArrowDown') move(at + 1);
          else if (e.key === 'ArrowUp') move(at - 1);
          else if (e.key === 'PageDown') move(at + 8);
          else if (e.key === 'PageUp') move(at - 8);
          else if (e.key === 'Enter') run(found[at]);
          else return;
          e.preventDefault();
        }}
      />
      <ul id="found" role="listbox" aria-label="Found" class="palette-list" tabIndex={-1}>
        {found.map((a, i) => (
          <li id={`find-${i}`} role="option" aria-selected={i === at} onClick={() => run(a)} onMouseMove={() => i !== at && choose(i)}>
            <span>{a.says}</span>
            {a.keys && <kbd>{a.keys[0]!.replaceAll('+', ' ')}</kbd>}
          </li>
        ))}
      </ul>
      {found.length === 0 && <p class="palette-none">Nothing is called that. Try a lamp's name, or a word such as undo, make, text.</p>}
    </Modal>
  );
}
