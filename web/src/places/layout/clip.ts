// Copy and paste: LEDs travel as the text that a document has, with the job's own parts, so they go to another lamp, another window, or a text editor.

import { plain } from '../../engine/api';
import { at } from '../../engine/tree';
import type { Diagnostic, Point, Value } from '../../engine/types';
import { catalogue } from '../../ui/catalogue';
import { job, store } from '../../ui/state';
import { many } from '../../ui/words';
import { asText, clipText, otherHere, partsAdded } from './cliptext';
import { chosen, choose, drawing } from './state';

let last = ''; // what was copied here, for browsers that do not let a page read the clipboard
const offset: Point = [5, -5]; // mm, by which a copy is set off the LEDs that it would hide

// copied gives the chosen patterns as text; "" when none is chosen.
export function copied(): string {
  const d = drawing.peek();
  if (!d || d.hand) return '';
  const leds = at(job.peek()?.tree, ['lamps', d.on, 'leds']);
  if (!Array.isArray(leds)) return '';
  const items = leds.filter((_, i) => chosen.peek().includes(`leds.${i}`));
  return items.length > 0 ? (last = clipText(job.peek()?.tree, items as Value[])) : '';
}

export function tellCopied(text: string) {
  const n = text.split('\n').filter((l) => l.startsWith('- ')).length;
  store.tell({ problems: [plain(`${many(n, 'pattern')} copied`, 'paste into this lamp, another lamp, or another window')], good: true });
}

// paste puts text into the lamp that is open.
export async function paste(text: string): Promise<Diagnostic[] | null> {
  const d = drawing.peek();
  if (!d || d.hand) return null;
  const tree = job.peek()?.tree;
  const before = at(tree, ['lamps', d.on, 'leds']);
  const from = Array.isArray(before) ? before.length : 0;
  const here = new Set(Array.isArray(before) ? asText(before as Value[]).split('\n').map(place) : []);
  const hides = text.split('\n').some((l) => l.startsWith('- ') && here.has(place(l)));
  const problems = await store.do('put', { lamp: d.on, text, by: hides ? offset : [0, 0] });
  const now = at(job.peek()?.tree, ['lamps', d.on, 'leds']);
  if (!problems && Array.isArray(now)) choose(now.map((_, i) => `leds.${i}`).slice(from));
  const came = problems ? [] : partsAdded(tree, job.peek()?.tree);
  if (came.length > 0) store.tell({ problems: [plain(`${came.length === 1 ? 'part' : 'parts'} ${came.join(', ')} came along, which this job did not have`, '')], good: true });
  for (const p of problems ? [] : otherHere(text, tree, catalogue.peek().parts)) {
    const says = plain(`${p.name} is a part of this job's own here, ${p.own}; the catalogue's is ${p.catalogue}`, 'if the catalogue\'s was meant, undo, and give the own part another name first');
    store.tell({ problems: [{ ...says, severity: 'caution' }] });
  }
  return problems;
}

// place is what of a pattern's line says where it stands.
const place = (line: string) => /(from|centre|at|through): [^a-z]*\]/.exec(line)?.[0] ?? line;

export async function pasteFromButton() {
  let text = last;
  try {
    text = (await navigator.clipboard.readText()) || last;
  } catch {
    // the browser keeps the clipboard to itself: what was copied in this window is known
  }
  if (text.trim()) return paste(text);
  store.tell({ problems: [plain('there is nothing to paste', 'choose LEDs and copy them first; Ctrl V works where this button may not')] });
  return null;
}

export async function copyFromButton() {
  const text = copied();
  if (!text) return;
  try {
    await navigator.clipboard.writeText(text);
  } catch {
    // known in this window all the same
  }
  tellCopied(text);
}
