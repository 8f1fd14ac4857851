// Layout: the lamp at true scale, over a photo of it. LEDs, groups, zones, light paths and outline are drawn here.

import { useEffect } from 'preact/hooks';
import { inText, offer } from '../../engine/actions';
import type { Point } from '../../engine/types';
import { wantCatalogue } from '../../ui/catalogue';
import { form as schema, inspect, job, panel, store } from '../../ui/state';
import { erase, shift } from './acts';
import { Canvas, pan, panned, whole, zoom } from './canvas';
import { Chosen } from './chosen';
import { copied, copyFromButton, paste, pasteFromButton, tellCopied } from './clip';
import { itemOf } from './drawing';
import { NewLamp, OppositeHand } from './forms';
import { back, finish } from './gestures';
import { Groups } from './groups';
import { LampFacts } from './lampfacts';
import { NextStep } from './next';
import { marking } from './photo';
import { PhotoPanel } from './photopanel';
import { Readout } from './readout';
import { needs } from './shapes';
import { choose, chosen, chosenGroups, drawing, form, handOf, lampName, lampNames, letGo, moving, openTab, points, showLamp, tab, take, tool, type Tab } from './state';
import { ToolOptions, Tools, tools } from './tools';

export function LayoutPlace() {
  useEffect(wantCatalogue, []);
  useEffect(() => offerAll(), []);
  useEffect(() => clipboard(), []);
  const d = drawing.value;
  if (!d)
    return (
      <div class="empty-place">
        <h2>{lampName.value ? `Lamp ${lampName.value} cannot be shown` : 'No lamp yet'}</h2>
        {lampName.value ? (
          <>
            <p>What is written of it cannot be understood. The problems say where, and what to do.</p>
            <button class="strong" onClick={() => (panel.value = 'problems')}>
              Show what to mend
            </button>
          </>
        ) : job.value!.tree === null ? (
          <p>The text cannot be read as a document. Mend it in the text pane first.</p>
        ) : (
          <NewLamp />
        )}
      </div>
    );
  return (
    <div class="layout">
      <Bar />
      {d.current ? d.hand && <Hand of={d.on} /> : <Stale name={d.lamp.name} />}
      <Tools />
      <div class="sheet">
        <div class="sheet-over">
          <Canvas />
          <div class="sheet-zoom" role="group" aria-label="Nearer and farther">
            <button class="quiet" aria-label="Farther" title="Farther (−)" onClick={() => zoom(1 / 1.5)}>
              −
            </button>
            <button class="quiet" aria-label="Nearer" title="Nearer (+)" onClick={() => zoom(1.5)}>
              +
            </button>
            <button class="quiet" title="Show the whole lamp (0)" onClick={whole}>
              Whole
            </button>
          </div>
        </div>
        <Readout />
      </div>
      <aside class="layout-panel" aria-label="Drawing">
        {form.value === 'lamp' && <NewLamp />}
        {form.value === 'hand' && <OppositeHand d={d} />}
        {form.value === null && (
          <>
            <Tabs />
            <div class="layout-body" key={tab.value}>
              {tab.value === 'draw' && (tool.value !== 'choose' ? <ToolOptions /> : null)}
              {tab.value === 'draw' && (chosen.value.length > 0 ? <Chosen d={d} /> : tool.value === 'choose' && <LampFacts d={d} />)}
              {tab.value === 'groups' && <Groups d={d} />}
              {tab.value === 'photo' && <PhotoPanel d={d} />}
            </div>
            <NextStep d={d} />
          </>
        )}
      </aside>
    </div>
  );
}

function Tabs() {
  const tabs: [Tab, string][] = [
    ['draw', 'Draw'],
    ['groups', 'Groups'],
    ['photo', 'Photo'],
  ];
  return (
    <div class="layout-tabs" role="group" aria-label="Panels of the drawing">
      {tabs.map(([t, name]) => (
        <button class="tab" aria-pressed={tab.value === t} onClick={() => openTab(t)}>
          {name}
        </button>
      ))}
    </div>
  );
}

// Bar chooses the lamp, and says and changes which there are.
function Bar() {
  const d = drawing.value!;
  const other = handOf.value;
  const sides = other ? [d.lamp.name, other].map((name): [string, string] => [job.value!.lamps.find((l) => l.name === name)?.place.side ?? '', name]).sort((a, b) => a[0].localeCompare(b[0])) : [];
  const remove = async () => {
    const name = d.lamp.name;
    if (!(await store.do('drop', { lamp: name }))) store.tell({ problems: [{ id: 'page', kind: 'document', severity: 'note', text: `lamp ${name} is deleted, with its module and what only it used`, next: 'undo brings it back' }], good: true });
  };
  return (
    <div class="controls">
      <label class="controls-routine">
        <span class="visually-hidden">Lamp</span>
        <select value={d.lamp.name} onChange={(e) => showLamp(e.currentTarget.value)}>
          {lampNames.value.map((name) => (
            <option value={name}>{name}</option>
          ))}
        </select>
      </label>
      {other && (
        <div class="segments" role="group" aria-label="Hand">
          {sides.map(([side, name]) => (
            <button aria-pressed={name === d.lamp.name} onClick={() => name !== d.lamp.name && showLamp(name)} title={name}>
              {side}
            </button>
          ))}
        </div>
      )}
      {!other && !d.hand && d.lamp.place.side !== 'centre' && (
        <button aria-disabled={d.lamp.leds.length === 0 || undefined} onClick={() => d.lamp.leds.length > 0 && (form.value = 'hand')} title={`Make the lamp of the other side, a reflection of ${d.lamp.name}`}>
          Opposite hand
        </button>
      )}
      <button onClick={() => (form.value = 'lamp')}>New lamp</button>
      <span class="status-fill" />
      <button class="quiet" onClick={() => inspect(['lamps', d.lamp.name])} title="Everything that the document says of it">
        Inspect
      </button>
      <button class="quiet" onClick={() => void remove()} title={`Delete ${d.lamp.name}, its module, and what only it used`}>
        Delete lamp
      </button>
    </div>
  );
}

function Hand({ of }: { of: string }) {
  return (
    <p class="layout-note" role="status">
      <span>This lamp is the opposite hand of {of}, and drawn there.</span>
      <button onClick={() => showLamp(of)}>Draw on {of}</button>
    </p>
  );
}

// Stale says that the drawing is older than the document.
function Stale({ name }: { name: string }) {
  return (
    <p class="layout-note warn" role="status">
      <span>
        <b>{name} cannot be understood as it is written.</b> It is shown as it was before.
      </span>
      <button onClick={() => (panel.value = 'problems')}>Show what to mend</button>
      {schema.value && <button onClick={() => inspect(['lamps', name])}>Inspect</button>}
    </p>
  );
}

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

function offerAll() {
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
function clipboard() {
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
