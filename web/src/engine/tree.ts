// Reading the document's tree. Nothing here changes it: changes are commands.

import type { Job, Value } from './types';

export type Path = string[];

export type Mapping = { [key: string]: Value };

export const isMapping = (v: Value | undefined): v is Mapping => typeof v === 'object' && v !== null && !Array.isArray(v);

export function at(tree: Value | undefined, path: Path): Value | undefined {
  let v = tree;
  for (const step of path) {
    if (Array.isArray(v)) v = v[Number(step)];
    else if (isMapping(v)) v = Object.hasOwn(v, step) ? v[step] : undefined;
    else return undefined;
    if (v === undefined) return undefined;
  }
  return v;
}

// entry gives the one key and value of a mapping such as {sweep: {…}}.
export function entry(v: Value | undefined): [string, Value] | null {
  if (!isMapping(v)) return null;
  const keys = Object.keys(v);
  return keys.length === 1 ? [keys[0]!, v[keys[0]!]!] : null;
}

// written shows a value on one line, as a document would have it.
export function written(v: Value | undefined): string {
  if (v === undefined || v === null) return '';
  if (typeof v === 'string') return v;
  if (Array.isArray(v)) return '[' + v.map(written).join(', ') + ']';
  return '{' + Object.entries(v).map(([k, w]) => `${k}: ${written(w)}`).join(', ') + '}';
}

export const samePath = (a: Path, b: Path) => a.length === b.length && a.every((s, i) => s === b[i]);

export const under = (a: Path, root: Path) => a.length >= root.length && root.every((s, i) => s === a[i]);

// problemsAt gives the problems and findings of a place in the tree and below.
export function problemsAt(job: Job, path: Path) {
  return [...job.problems, ...job.findings].filter((p) => p.place?.path && under(p.place.path, path));
}
