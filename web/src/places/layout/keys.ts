// The keys and actions of the place, and the browser's own copy, cut and paste.

import { inText, offer } from '../../engine/actions';
import type { Point } from '../../engine/types';
import { erase, shift } from './acts';
import { pan, panned, whole, zoom } from './canvas';
import { copied, copyFromButton, paste, pasteFromButton, tellCopied } from './clip';
import { itemOf } from './drawing';
import { back, finish } from './make';
import { marking } from './photo';
import { needs } from './shapes';
import { choose, chosen, chosenGroups, drawing, form, handOf, letGo, moving, openTab, points, tab, take, tool } from './state';
import { tools } from './tools';

const settleMs = 500; // after the last arrow key, moves become one step
let timer = 0;
let nudged: Point | null = null; // by arrow keys, and not yet a step

// nudge moves what is chosen by arrow keys; several in a row are one step. With nothing chosen the sheet moves.
function nudge(x: number, y: number) {
  const step = (v: number) => Number(v.toFixed(2));
  if (chosen.peek().length === 0 || tab.peek() !== 'draw' || drawing.peek()?.hand) return pan(-x * 40, y * 40);
  nudged = [step((nudged?.[0] ?? 0) + x), step((nudged?.[1] ?? 0) + y)];
  moving.value = nudged;
  clearTimeout(timer);
  timer = window.setTimeout(settle, settleMs);
}

function settle() {
  const by = nudged;
  nudged = null;
  if (by) void shift(by).finally(() => nudged ?? letGo());
}

function escape() {
  if (points.peek().length > 0) points.value = [];
  else if (nudged) ((nudged = null), letGo());
  else if (moving.peek()) letGo();
  else if (form.peek()) form.value = null;
  else if (tool.peek() !== 'choose') take('choose');
  else if (marking.peek()) marking.value = false;
  else if (tab.peek() === 'groups') chosenGroups.value = [];
  else choose([]);
}

const busy = () => points.peek().length > 0 || moving.peek() !== null || form.peek() !== null || tool.peek() !== 'choose' || marking.peek() || chosen.peek().length > 0 || chosenGroups.peek().length > 0;

export function offerAll() {
  const arrows = (['ArrowLeft', 'ArrowRight', 'ArrowUp', 'ArrowDown'] as const).flatMap((key) => {
    const [x, y] = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[key] as Point;
    const way = { ArrowLeft: 'left', ArrowRight: 'right', ArrowUp: 'up', ArrowDown: 'down' }[key];
    const free = () => !(document.activeElement instanceof HTMLElement && document.activeElement.matches('select, input[type=range], input[type=radio]'));
    return [
      { id: `layout-${way}`, says: `Layout: move the chosen ${way} by 1 mm`, keys: [key], ready: free, run: () => nudge(x, y) },
      { id: `layout-${way}-fine`, says: `Layout: move the chosen ${way} by 0.1 mm`, keys: [`Shift+${key}`], ready: free, run: () => nudge(x / 10, y / 10) },
    ];
  });
  const through = (by: number) => {
    const all = drawing.peek()?.patterns ?? [];
    if (all.length === 0) return;
    const now = all.findIndex((p) => chosen.peek().includes(itemOf(p)));
    choose([itemOf(all[(now + by + all.length) % all.length]!)]);
  };
  const end = offer(
    { id: 'layout-escape', says: 'Layout: put the tool down, choose nothing', keys: ['Escape'], ready: busy, run: escape },
    ...tools.map((t) => ({ id: `layout-${t.id}`, says: `Layout: ${t.name}`, more: t.says, keys: [t.key], run: () => take(t.id) })),
    ...arrows,
    { id: 'layout-delete', says: 'Layout: delete what is chosen', keys: ['Delete', 'Backspace'], ready: () => chosen.peek().length > 0 || points.peek().length > 0, run: () => (points.peek().length > 0 ? back() : void erase()) },
    { id: 'layout-end', says: 'Layout: end the line', keys: ['Enter'], ready: () => points.peek().length > 0 && needs[tool.peek()] === Infinity, run: finish },
    { id: 'layout-all', says: 'Layout: choose all LEDs', keys: ['Ctrl+A'], ready: () => tab.peek() === 'draw', run: () => choose(drawing.peek()?.patterns.map(itemOf) ?? []) },
    { id: 'layout-next', says: 'Layout: choose the next pattern', keys: ['PageDown'], run: () => through(1) },
    { id: 'layout-before', says: 'Layout: choose the pattern before', keys: ['PageUp'], run: () => through(-1) },
    { id: 'layout-whole', says: 'Layout: show the whole lamp', keys: ['0'], run: whole },
    { id: 'layout-nearer', says: 'Layout: nearer', keys: ['+', '='], run: () => zoom(1.5) },
    { id: 'layout-farther', says: 'Layout: farther', keys: ['-'], run: () => zoom(1 / 1.5) },
    { id: 'layout-lamp', says: 'Layout: new lamp', run: () => (form.value = 'lamp') },
    { id: 'layout-hand', says: 'Layout: make the opposite hand', ready: () => !drawing.peek()?.hand && !handOf.peek(), run: () => (form.value = 'hand') },
    { id: 'layout-copy', says: 'Layout: copy the chosen LEDs (Ctrl C)', ready: () => chosen.peek().length > 0, run: () => void copyFromButton() },
    { id: 'layout-paste', says: 'Layout: paste LEDs (Ctrl V)', run: () => void pasteFromButton() },
    { id: 'layout-groups', says: 'Layout: groups, zones and functions', run: () => openTab('groups') },
    { id: 'layout-photo', says: 'Layout: photo and bright spots', run: () => openTab('photo') },
  );
  const held = (e: KeyboardEvent) => {
    if (e.key !== ' ' || inText(e.target) || (e.target instanceof HTMLElement && e.target.closest('button, select, input, a'))) return;
    panned.value = e.type === 'keydown';
    e.preventDefault();
  };
  addEventListener('keydown', held);
  addEventListener('keyup', held);
  return () => {
    end();
    clearTimeout(timer);
    settle(); // who goes elsewhere has still moved it
    removeEventListener('keydown', held);
    removeEventListener('keyup', held);
    letGo();
  };
}

// clipboard lets the browser's own copy, cut and paste work on the drawing, where nobody writes.
export function clipboard() {
  const copy = (e: ClipboardEvent) => {
    const el = document.activeElement;
    const writing = inText(el) && (!(el instanceof HTMLInputElement) || el.selectionStart !== el.selectionEnd || e.type === 'cut');
    if (writing || String(getSelection()) !== '') return;
    const text = copied();
    if (!text || !e.clipboardData) return;
    e.clipboardData.setData('text/plain', text);
    e.preventDefault();
    tellCopied(text);
    if (e.type === 'cut') void erase();
  };
  const put = (e: ClipboardEvent) => {
    if (inText(document.activeElement)) return;
    const text = e.clipboardData?.getData('text/plain') ?? '';
    if (!text.trim()) return;
    e.preventDefault();
    void paste(text);
  };
  document.addEventListener('copy', copy);
  document.addEventListener('cut', copy);
  document.addEventListener('paste', put);
  return () => {
    document.removeEventListener('copy', copy);
    document.removeEventListener('cut', copy);
    document.removeEventListener('paste', put);
  };
}
