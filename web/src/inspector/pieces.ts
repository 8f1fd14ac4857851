// The word of a field that is being typed, and the names that fit it.

import { find } from '../engine/fuzzy';

export interface Piece {
  from: number;
  to: number; // of the word in the text, without the spaces round it
  word: string;
}

// pieceAt gives the word under the caret; several stands for a field of names with commas between them.
export function pieceAt(text: string, caret: number, several: boolean): Piece {
  const apart = (c: string) => several && /[,\n[\]]/.test(c);
  let from = caret;
  let to = caret;
  while (from > 0 && !apart(text[from - 1]!)) from--;
  while (to < text.length && !apart(text[to]!)) to++;
  while (from < to && text[from] === ' ') from++;
  while (to > from && text[to - 1] === ' ') to--;
  return { from, to, word: text.slice(from, to) };
}

// put puts a name in the place of the word, and gives the caret behind it.
export function put(text: string, p: Piece, name: string): { text: string; caret: number } {
  const gap = p.from > 0 && p.from === p.to && text[p.from - 1] === ',' ? ' ' : '';
  return { text: text.slice(0, p.from) + gap + name + text.slice(p.to), caret: p.from + gap.length + name.length };
}

// offered gives the names that may be meant, those that begin so first; all of them when nothing is asked for. Single groups, such as
// arrow.3, come when a part is typed, and what stands in the field already does not come again.
export function offered(all: string[], text: string, p: Piece, whole: boolean, several: boolean): string[] {
  const rest = (text.slice(0, p.from) + text.slice(p.to)).split(/[,\n[\]]/).map((w) => w.trim());
  const free = several ? all.filter((n) => !rest.includes(n)) : all;
  const plain = free.filter((n) => !/\.\d+$/.test(n));
  if (whole || p.word === '') return plain;
  if (/\.\d*$/.test(p.word)) return free.filter((n) => n.startsWith(p.word) && n !== p.word);
  const found = find(p.word, plain, (n) => n);
  const first = found.filter((n) => n.startsWith(p.word));
  const names = [...first, ...found.filter((n) => !first.includes(n))];
  return names.length === 1 && names[0] === p.word ? [] : names;
}
