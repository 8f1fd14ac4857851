// The JSON Schema of the document, read for forms: what may stand at a place, in a few kinds.

import { at, entry, type Path } from './tree';
import type { Value } from './types';

export interface Schema {
  type?: string;
  description?: string;
  $ref?: string;
  properties?: Record<string, Schema>;
  additionalProperties?: Schema | boolean;
  items?: Schema;
  anyOf?: Schema[];
  enum?: string[];
  required?: string[];
  pattern?: string;
  minItems?: number;
  maxItems?: number;
  minProperties?: number;
  maxProperties?: number;
  $defs?: Record<string, Schema>;
}

export type Kind =
  | 'text' // one value as it is written: a name, a quantity, a number
  | 'choice' // one of a few words
  | 'truth' // yes or no
  | 'items' // values with commas between them, or one alone
  | 'points' // pairs of lengths, one a line
  | 'group' // a mapping with named fields
  | 'one' // a mapping with one key out of several, such as {sweep: {…}}
  | 'map' // names with a value each
  | 'named' // a list of {name: value}
  | 'list'; // a list of anything else

export class Form {
  constructor(private root: Schema) {}

  resolve(s: Schema): Schema {
    if (!s.$ref) return s;
    const target = this.root.$defs?.[s.$ref.replace('#/$defs/', '')] ?? {};
    return { ...target, ...(s.description ? { description: s.description } : {}), $ref: undefined };
  }

  kind(schema: Schema): Kind {
    const s = this.resolve(schema);
    if (s.enum) return 'choice';
    if (s.anyOf) {
      const object = s.anyOf.map((o) => this.resolve(o)).find((o) => o.type === 'object');
      return object ? 'text' : s.anyOf.some((o) => o.type === 'array') ? 'items' : 'text';
    }
    switch (s.type) {
      case 'boolean':
        return 'truth';
      case 'array': {
        const item = this.resolve(s.items ?? {});
        if (item.type === 'array') return 'points';
        if (item.type === 'object') return this.only(item) && !item.properties ? 'named' : 'list';
        return 'items';
      }
      case 'object':
        if (this.only(s)) return 'one';
        return typeof s.additionalProperties === 'object' ? 'map' : 'group';
    }
    return 'text';
  }

  private only = (s: Schema) => s.maxProperties === 1 && s.minProperties === 1;

  // forValue picks the branch of alternatives that a value is written in, as a zone in its short or long form.
  forValue(schema: Schema, value: Value | undefined): Schema {
    const s = this.resolve(schema);
    if (s.anyOf && typeof value === 'object' && value !== null && !Array.isArray(value)) {
      const object = s.anyOf.map((o) => this.resolve(o)).find((o) => o.type === 'object');
      if (object) return { ...object, description: s.description };
    }
    if (s.anyOf && s.anyOf.some((o) => this.resolve(o).type === 'object')) {
      const rest = s.anyOf.filter((o) => this.resolve(o).type !== 'object');
      return { ...s, anyOf: rest };
    }
    return s;
  }

  // child gives the schema one step further down.
  child(schema: Schema, step: string): Schema | null {
    const s = this.resolve(schema);
    if (s.properties && Object.hasOwn(s.properties, step)) return this.resolve(s.properties[step]!);
    if (s.type === 'array' && s.items) return this.resolve(s.items);
    if (typeof s.additionalProperties === 'object') return this.resolve(s.additionalProperties);
    return null;
  }

  // at gives the schema of a place in a tree.
  at(tree: Value, path: Path): Schema | null {
    let s: Schema | null = this.resolve(this.root);
    for (let i = 0; s && i < path.length; i++) {
      s = this.child(s, path[i]!);
      if (s) s = this.forValue(s, at(tree, path.slice(0, i + 1)));
    }
    return s;
  }

  get top(): Schema {
    return this.root;
  }
}

// example takes what a description gives as an example: "…, as in 300 ms".
export const example = (s: Schema) => /\bas in ([^;.]+(?:\.\d[^;.]*)?)/.exec(s.description ?? '')?.[1]?.trim() ?? '';

// fitting turns what was typed into a field into a value that a command carries; null takes the value out.
export function fitting(kind: Kind, typed: string): Value {
  const text = typed.trim();
  if (text === '') return null;
  if (kind === 'points') {
    const rows = text.split(/\n+/).map((r) => r.trim()).filter(Boolean);
    return rows.map((r) => pieces(r));
  }
  if (kind === 'items' && /[,\n]|^\[/.test(text)) return pieces(text);
  return text;
}

function pieces(text: string): string[] {
  return text.replace(/^\[|\]$/g, '').split(/[,\n]/).map((p) => p.trim()).filter(Boolean);
}

// shown is the inverse of fitting: how a value stands in a field.
export function shown(kind: Kind, v: Value | undefined): string {
  if (v === undefined || v === null) return '';
  if (typeof v === 'string') return v;
  if (Array.isArray(v)) {
    if (kind === 'points') return v.map((p) => (Array.isArray(p) ? p.join(', ') : String(p))).join('\n');
    return v.map((p) => (typeof p === 'string' ? p : '')).join(', ');
  }
  return '';
}

// summary says in a few words what stands at a place, for a list.
export function summary(v: Value | undefined): string {
  const one = entry(v);
  if (one && typeof one[1] === 'object' && one[1] !== null) return `${one[0]} ${summary(one[1])}`.trim();
  if (v === null || v === undefined) return 'nothing yet';
  if (typeof v === 'string') return v;
  if (Array.isArray(v)) return v.every((x) => typeof x === 'string') ? v.join(', ') : `${v.length} ${v.length === 1 ? 'entry' : 'entries'}`;
  const words = Object.entries(v)
    .filter(([k, w]) => k !== 'note' && (typeof w === 'string' || (Array.isArray(w) && w.every((x) => typeof x === 'string'))))
    .map(([k, w]) => (['name', 'on', 'direction', 'for', 'kind', 'part', 'routine'].includes(k) ? String(w).replaceAll(',', ', ') : `${k} ${String(w).replaceAll(',', ', ')}`));
  return words.length > 0 ? words.slice(0, 5).join(' · ') : `${Object.keys(v).length} entries`;
}
