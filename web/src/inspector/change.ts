// Changes of the document as commands. Each gives null when done, else why not: an empty list when there is nothing to tell.

import { at, type Path } from '../engine/tree';
import type { Diagnostic, Value } from '../engine/types';
import { job, store } from '../ui/state';

type Done = Promise<Diagnostic[] | null>;

const tree = () => store.state.job?.tree ?? null;

// setAt makes the value at a path another one; null takes it out. Mappings that are missing on the way are made.
export function setAt(path: Path, value: Value): Done {
  if (value === null) return at(tree(), path) === undefined ? Promise.resolve(null) : removeAt(path);
  let known = path.length - 1;
  while (known > 0 && !exists(path.slice(0, known))) known--;
  for (let i = path.length - 1; i > known; i--) value = /^\d+$/.test(path[i]!) ? [value] : { [path[i]!]: value };
  const to = path.slice(0, known + 1);
  const parent = at(tree(), to.slice(0, -1));
  if (Array.isArray(parent) && Number(to.at(-1)) >= parent.length) return addAt(to.slice(0, -1), value);
  return store.do('set', { path: to, value }, true);
}

const exists = (path: Path) => {
  const v = at(tree(), path);
  return v !== undefined && v !== null;
};

// shifting says that a step is under way, so that a place in a list, as the screen shows it, may be another's by now: a key that is
// held down must not take the neighbour too.
const shifting = (path: Path) => store.busy && /^\d+$/.test(path.at(-1)!);
const notDone: Done = Promise.resolve([]);

// removeAt takes out what is at a path; LEDs and light paths go from all that means nothing without them.
export function removeAt(path: Path): Done {
  if (shifting(path)) return notDone;
  const drawn = path.length === 4 && path[0] === 'lamps' && (path[2] === 'leds' || path[2] === 'paths');
  return drawn ? store.do('erase', { paths: [path] }, true) : store.do('remove', { path }, true);
}

export function addAt(list: Path, value: Value, before?: number): Done {
  if (!exists(list)) return setAt(list, [value]);
  return store.do('add', before === undefined ? { path: list, value } : { path: list, value, before }, true);
}

const kinds: Record<string, string> = { lamps: 'lamp', modules: 'module', inputs: 'input', routines: 'routine', parts: 'part', paths: 'path', zones: 'zone', signals: 'signal', shows: 'show' };

// renameAt gives the key at a path another name; the name of a thing changes wherever it is written.
export function renameAt(path: Path, to: string): Done {
  const from = path.at(-1)!;
  const section = /^\d+$/.test(path.at(-2) ?? '') ? path.at(-3) : path.at(-2);
  const kind = kinds[section ?? ''];
  if (kind) return store.do('rename', { kind, from, to }, true);
  return store.do('edits', { label: `${from} becomes ${to}`, edits: [{ op: 'rename', path, key: to }] }, true);
}

// moveAt moves an item of a list to another place in it.
export const moveAt = (list: Path, from: number, to: number): Done => (shifting([...list, String(from)]) ? notDone : store.do('order', { path: [...list, String(from)], to }, true));

// copyAt puts a copy of a list's item at its end, or of a mapping's entry under a new name.
export function copyAt(path: Path, name?: string): Done {
  const into = path.slice(0, -1);
  return store.do('copy', name === undefined ? { from: path, into } : { from: path, into, key: name }, true);
}

// freeName gives a name that is not taken yet.
export function freeName(taken: string[], wish: string): string {
  if (!taken.includes(wish)) return wish;
  for (let n = 2; ; n++) if (!taken.includes(`${wish}-${n}`)) return `${wish}-${n}`;
}

// drive gives a lamp a module, under a name that is free, with a board that has an output for every group.
export const drive = (lamp: string) => store.do('drive', { lamp, module: freeName(job.peek()?.modules.map((m) => m.name) ?? [], `module-${lamp}`.slice(0, 48)) });
