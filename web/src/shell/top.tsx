// The top bar: what job this is, undo and redo by name, finding, and the panels.

import { dialog, job, panel, store, type Panel } from '../ui/state';

export const flip = (p: Panel) => (panel.value = panel.value === p ? null : p);

export function Top() {
  const j = job.value!;
  return (
    <header class="top">
      <div class="top-title">
        <h1>{j.title || 'Untitled job'}</h1>
        {j.for && <span class="faint">{j.for}</span>}
      </div>
      <div class="top-steps" role="group" aria-label="Steps">
        <Step name="Undo" label={j.undo} keys="Ctrl+Z" run={() => void store.undo()} />
        <Step name="Redo" label={j.redo} keys="Ctrl+Shift+Z" run={() => void store.redo()} />
      </div>
      <div class="top-panels" role="group" aria-label="Tools">
        <button onClick={() => (dialog.value = 'palette')} title="Find any action, place or part of the job (Ctrl+K)">
          Find <kbd>Ctrl K</kbd>
        </button>
        <button aria-pressed={panel.value === 'inspect'} onClick={() => flip('inspect')} title="See and change anything in the document (key I)">
          Inspect
        </button>
        <button aria-pressed={panel.value === 'text'} onClick={() => flip('text')} title="The document as text (key T)">
          Text
        </button>
        <button onClick={() => (dialog.value = 'settings')} title="Theme, size of letters, keys">
          View
        </button>
      </div>
    </header>
  );
}

function Step({ name, label, keys, run }: { name: string; label: string; keys: string; run: () => void }) {
  return (
    <button class="step" aria-disabled={!label} onClick={() => label && run()} title={label ? `${name}: ${label} (${keys})` : `Nothing to ${name.toLowerCase()}`}>
      <span>{name}</span>
      {label && <span class="step-label">{label}</span>}
    </button>
  );
}
