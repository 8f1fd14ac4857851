// Changes of the document as commands. Each gives null when done, else why not.

import { at, entry, isMapping, type Path } from '../engine/tree';
import type { Diagnostic, Value } from '../engine/types';
import { store } from '../ui/state';

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

export const removeAt = (path: Path): Done => store.do('remove', { path }, true);

export function addAt(list: Path, value: Value, before?: number): Done {
  if (!exists(list)) return setAt(list, [value]);
  return store.do('add', before === undefined ? { path: list, value } : { path: list, value, before }, true);
}

export const renameAt = (path: Path, key: string): Done =>
  store.do('edits', { label: `rename ${path.at(-1)} to ${key}`, edits: [{ op: 'rename', path, key }] }, true);

// moveAt moves an item of a list to another place in it.
export function moveAt(list: Path, from: number, to: number): Done {
  const items = at(tree(), list);
  if (!Array.isArray(items) || to < 0 || to >= items.length || from === to) return Promise.resolve(null);
  const edits = [
    { op: 'delete', path: [...list, String(from)] },
    { op: 'add', path: list, index: to === items.length - 1 ? -1 : to, value: bare(items[from]!) },
  ];
  return store.do('edits', { label: `move ${nameOf(items[from]!)}`, edits }, true);
}

// copyAt puts a copy of a list's item behind it, or of a mapping's entry under a new name.
export function copyAt(path: Path, name?: string): Done {
  const value = at(tree(), path);
  if (value === undefined) return Promise.resolve(null);
  const parent = path.slice(0, -1);
  if (name !== undefined) return setAt([...parent, name], value);
  return addAt(parent, value, Number(path.at(-1)) + 1);
}

const nameOf = (v: Value) => entry(v)?.[0] ?? 'entry';

// bare gives numbers and truths as such, for edits that write values as they come.
function bare(v: Value): unknown {
  if (typeof v === 'string') {
    if (v === 'true' || v === 'false') return v === 'true';
    return /^-?(0|[1-9]\d{0,14})(\.\d{1,9})?$/.test(v) ? Number(v) : v;
  }
  if (Array.isArray(v)) return v.map(bare);
  if (isMapping(v)) return Object.fromEntries(Object.entries(v).map(([k, w]) => [k, bare(w)]));
  return v;
}

// freeName gives a name that a mapping does not hold yet.
export function freeName(taken: string[], wish: string): string {
  if (!taken.includes(wish)) return wish;
  for (let n = 2; ; n++) if (!taken.includes(`${wish}-${n}`)) return `${wish}-${n}`;
}
