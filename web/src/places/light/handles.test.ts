import assert from 'node:assert/strict';
import { test } from 'node:test';
import type { Lamp } from '../../engine/types';
import type { Picture } from '../../picture/picture';
import { Handles, type Stroke } from './handles';
import type { Edit } from './state';

const lamp = { name: 'a', place: { end: 'rear', side: 'LH', x: 0, y: 0 }, leds: [[0, 0, 0], [100, 0, 0]], paths: [] } as unknown as Lamp;

// Bench is a picture 400 by 300 dots, a millimetre a dot, that says what was written on it.
class Bench {
  written: string[] = [];
  sent: { edits: Edit[] | null; done: boolean }[] = [];
  private heard: Record<string, (e: unknown) => void> = {};
  private picture = {
    host: {
      addEventListener: (type: string, f: (e: unknown) => void) => (this.heard[type] = f),
      getBoundingClientRect: () => ({ left: 0, top: 0 }),
      setPointerCapture: () => {},
      style: {},
      clientWidth: 400,
      clientHeight: 300,
    },
    scene: { letter: 1, scale: 1 },
    placed: () => ({}),
    screen: (_: unknown, x: number, y: number) => [x + 150, y + 100],
    redraw: () => this.draw(),
    written: () => [],
    overlay: null as ((ctx: unknown) => void) | null,
  };
  handles = new Handles(this.picture as unknown as Picture);

  constructor() {
    this.handles.change = (edits, done) => this.sent.push({ edits, done });
  }
  draw() {
    this.written = [];
    const ctx = new Proxy({}, { get: (_, k) => (k === 'measureText' ? () => ({ width: 100 }) : (says: string) => k === 'fillText' && this.written.push(says)), set: () => true });
    this.picture.overlay!(ctx);
  }
  give(index: number, body: Stroke['body']) {
    this.handles.stroke = { path: ['routines', 'run', 'strokes', String(index), 'hold'], kind: 'hold', body, parts: [{ lamp, groups: [0] }], across: false, travels: false, totalMs: 1000 };
    this.draw();
  }
  pointer(type: string, x: number) {
    this.heard[`pointer${type}`]!({ type: `pointer${type}`, button: 0, pointerId: 1, pointerType: 'mouse', clientX: x, clientY: 286, stopImmediatePropagation: () => {} });
  }
}

// The strip is 150 dots from 120 on: below the field as far as its words leave room.
const dots = (ms: number) => 120 + ms * 0.15;

test('times are pulled on the lamp, and what was let go is seen until it is in the document', () => {
  const b = new Bench();
  b.give(0, { start: '200 ms', for: '400 ms' });
  b.pointer('down', dots(200));
  b.pointer('move', dots(400));
  assert.deepEqual(b.written, ['from 400 ms, for 400 ms']);
  b.pointer('up', dots(400));
  assert.deepEqual(b.sent.at(-1), { edits: [{ op: 'set', path: ['routines', 'run', 'strokes', '0', 'hold', 'start'], value: '400 ms' }], done: true });
  assert.deepEqual(b.written, ['from 400 ms, for 400 ms']);
  b.pointer('down', dots(800)); // the next one begins before the answer
  b.pointer('move', dots(900));
  assert.deepEqual(b.written, ['from 400 ms, for 500 ms']);
  b.give(0, { start: '400 ms', for: '400 ms' });
  assert.deepEqual(b.written, ['from 400 ms, for 400 ms']);
});

test('what is held of one stroke changes no other', () => {
  for (const next of [(b: Bench) => b.give(1, { start: '100 ms', for: '100 ms' }), (b: Bench) => (b.handles.stroke = null)]) {
    const b = new Bench();
    b.give(0, { start: '200 ms', for: '400 ms' });
    b.pointer('down', dots(200));
    b.pointer('move', dots(300));
    next(b);
    assert.deepEqual(b.sent.at(-1), { edits: null, done: true });
    const before = b.sent.length;
    b.pointer('move', dots(350));
    b.pointer('up', dots(350));
    assert.equal(b.sent.length, before);
  }
});
