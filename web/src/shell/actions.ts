// The actions that are there in every place, and those that the job and the server bring.

import { offer, offerMany, type Action } from '../engine/actions';
import { isMapping } from '../engine/tree';
import type { Command } from '../engine/types';
import { places } from '../places/registry';
import { dialog, fetchSchema, form, go, inspect, job, panel, path, set, settings, state, store } from '../ui/state';
import { flip } from './top';

export function standardActions() {
  offer(
    ...places.map(
      (p, i): Action => ({ id: `place-${p.id}`, says: `Go to ${p.name}`, more: p.says, keys: i < 9 ? [String(i + 1)] : undefined, run: () => go(p.id) }),
    ),
    { id: 'find', says: 'Find an action, a place or a part of the job', keys: ['Ctrl+K'], run: () => (dialog.value = 'palette') },
    { id: 'undo', says: 'Undo', more: 'back', keys: ['Ctrl+Z'], ready: () => Boolean(job.peek()?.undo) || store.busy, run: () => void store.undo() },
    { id: 'redo', says: 'Redo', more: 'again', keys: ['Ctrl+Shift+Z', 'Ctrl+Y'], ready: () => Boolean(job.peek()?.redo) || store.busy, run: () => void store.redo() },
    { id: 'save', says: 'Save', keys: ['Ctrl+S'], run: () => void store.save() },
    { id: 'inspect', says: 'Show or hide the inspector', more: 'form document properties', keys: ['I'], run: () => flip('inspect') },
    { id: 'problems', says: 'Show or hide problems and findings', more: 'errors', keys: ['P'], run: () => flip('problems') },
    { id: 'text', says: 'Show or hide the document as text', more: 'yaml', keys: ['T'], run: () => flip('text') },
    { id: 'close', says: 'Close the panel', keys: ['Escape'], ready: () => panel.peek() !== null, run: () => (panel.value = null) },
    { id: 'up', says: 'Up in the document', keys: ['Alt+ArrowUp'], ready: () => path.peek().length > 0, run: () => (path.value = path.peek().slice(0, -1)) },
    { id: 'settings', says: 'View: theme, size of letters, keys', more: 'settings dark light', run: () => (dialog.value = 'settings') },
    { id: 'theme', says: 'Other theme: light or dark', run: () => set({ theme: darkNow() ? 'light' : 'dark' }) },
    { id: 'keys', says: 'List of keys', more: 'help shortcuts', keys: ['?'], run: () => (dialog.value = 'keys') },
  );
  offerMany(parts);
  offerMany(() => commands.map((c) => ({ id: `command-${c.name}`, says: `Command ${c.name}: ${c.says}`, run: () => (dialog.value = { command: c.name }) })));
  let line = '';
  store.watch((s) => {
    if (s.line === line) return;
    line = s.line;
    if (line !== 'open') return;
    void store.commands().then((all) => (commands = all ?? [])).catch(() => {});
    if (!form.peek()) void fetchSchema().catch(() => {});
  });
}

let commands: Command[] = [];

const darkNow = () => settings.peek().theme === 'dark' || (settings.peek().theme === 'system' && matchMedia('(prefers-color-scheme: dark)').matches);

// parts are the named things of the document, each a way into the inspector.
function parts(): Action[] {
  const tree = state.peek().job?.tree;
  if (!isMapping(tree)) return [];
  const out: Action[] = [];
  for (const [section, value] of Object.entries(tree)) {
    if (isMapping(value)) {
      out.push({ id: `part-${section}`, says: `Inspect ${section}`, run: () => inspect([section]) });
      for (const name of Object.keys(value)) if (typeof value[name] === 'object') out.push({ id: `part-${section}-${name}`, says: `Inspect ${section} › ${name}`, run: () => inspect([section, name]) });
    } else if (Array.isArray(value)) {
      out.push({ id: `part-${section}`, says: `Inspect ${section}`, run: () => inspect([section]) });
      value.forEach((v, i) => isMapping(v) && out.push({ id: `part-${section}-${i}`, says: `Inspect ${section} › ${Object.keys(v)[0] ?? i + 1}`, run: () => inspect([section, String(i)]) }));
    }
  }
  return out;
}
