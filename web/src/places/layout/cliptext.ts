// LEDs as text: the patterns as a document has them below leds:, and before them the job's own parts that they use.

import { at, entry, isMapping, written as line } from '../../engine/tree';
import type { Value } from '../../engine/types';

// asText writes patterns as a document has them below leds:, a line each.
export function asText(patterns: Value[]): string {
  return patterns.map((p) => `- ${line(quoted(p)).replace(/^\{(.*)\}$/s, '$1')}\n`).join('');
}

// quoted puts in quotes what could mean something else in a document.
function quoted(v: Value): Value {
  if (typeof v === 'string') return /^[A-Za-z0-9µ][A-Za-z0-9 ._/()+%°²=@µ-]*$|^-?\d+(\.\d+)?( ?[a-z]+)?$/.test(v) && !/ $/.test(v) ? v : JSON.stringify(v);
  if (Array.isArray(v)) return v.map(quoted);
  if (v === null) return v;
  return Object.fromEntries(Object.entries(v).map(([k, w]) => [k, quoted(w)]));
}

// clipText writes patterns of a document so that another job can take them.
export function clipText(tree: Value | undefined, patterns: Value[]): string {
  const own = at(tree, ['parts']);
  const used = new Set(patterns.map((p) => at(entry(p)?.[1], ['part'])));
  const parts = isMapping(own) ? Object.entries(own).filter(([name]) => name !== 'note' && used.has(name)) : [];
  if (parts.length === 0) return asText(patterns);
  return `parts:\n${parts.map(([name, p]) => `  ${name}: ${line(quoted(p))}\n`).join('')}leds:\n${asText(patterns)}`;
}

// partsAdded lists the parts that a job has of its own and had not before.
export function partsAdded(before: Value | undefined, now: Value | undefined): string[] {
  const [had, has] = [before, now].map((tree) => {
    const own = at(tree, ['parts']);
    return isMapping(own) ? Object.keys(own).filter((k) => k !== 'note') : [];
  });
  return has!.filter((name) => !had!.includes(name));
}

// otherHere lists the parts of pasted text that it does not bring along, that the catalogue has, and under whose name this job has another
// of its own: there the job's counts.
export function otherHere(text: string, tree: Value | undefined, catalogue: { name: string; colour: string }[]): { name: string; own: string; catalogue: string }[] {
  const own = at(tree, ['parts']);
  if (!isMapping(own)) return [];
  const brought = /^parts:/m.test(text) ? text.slice(text.search(/^parts:/m)).split(/^leds:/m)[0]! : '';
  const used = [...new Set([...text.matchAll(/\bpart: *"?([A-Za-z0-9-]+)/g)].map((m) => m[1]!))];
  return used.flatMap((name) => {
    const colour = at(own[name], ['colour']);
    const there = catalogue.find((p) => p.name === name);
    if (!there || typeof colour !== 'string' || colour === there.colour || new RegExp(`(^|[\\s{,])${name}:`, 'm').test(brought)) return [];
    return [{ name, own: colour, catalogue: there.colour }];
  });
}
