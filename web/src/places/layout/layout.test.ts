import assert from 'node:assert/strict';
import { test } from 'node:test';
import type { Lamp, Point, Value } from '../../engine/types';
import { clipText, otherHere, partsAdded } from './cliptext';
import { drawingOf, itemOf, lineOf } from './drawing';
import { dragged, handlesOf } from './handles';
import { bodyOf, circleThrough, groupings, inWords, tidy, type Size } from './shapes';
import { joined } from './sheet';
import { snap } from './snap';
import { ledsOf } from './unroll';
import { fitted, millimetre, screen, ticks, zoomed } from './view';

const size: Size = { by: 'count', count: 5, spacing: 10, columns: 4, rows: 3 };
const close = (got: Point[], want: Point[]) => {
  assert.equal(got.length, want.length);
  got.forEach((p, i) => assert.ok(Math.hypot(p[0] - want[i]![0], p[1] - want[i]![1]) < 0.02, `${p} is not ${want[i]}`));
};

test('points become patterns as the document writes them', () => {
  assert.deepEqual(bodyOf('row', [[1, 2], [21, 9]], size), { from: ['1', '2'], to: ['21', '2'], count: '5' });
  assert.deepEqual(bodyOf('column', [[1, 2], [21, -8.004]], { ...size, by: 'spacing', spacing: 2.5 }), { from: ['1', '2'], to: ['1', '-8'], spacing: '2.5 mm' });
  assert.deepEqual(bodyOf('grid', [[0, 0], [30, 20]], size), { from: ['0', '0'], to: ['30', '20'], columns: '4', rows: '3' });
  assert.deepEqual(bodyOf('grid', [[0, 0], [30, 20]], { ...size, columns: 1 }), { from: ['0', '0'], to: ['0', '20'], columns: '1', rows: '3' });
  assert.deepEqual(bodyOf('ring', [[10, 10], [11, 40]], size), { centre: ['10', '10'], radius: '30.02 mm', count: '5' });
  assert.deepEqual(bodyOf('ring', [[0, 0], [20, 0]], { ...size, by: 'spacing' }), { centre: ['0', '0'], radius: '20 mm', count: '13', start: '0 deg' });
  assert.deepEqual(bodyOf('arc', [[-10, 0], [10, 0], [0, 10]], size), { centre: ['0', '0'], radius: '10 mm', from: '180 deg', to: '0 deg', count: '5' });
  assert.deepEqual(bodyOf('arc', [[-10, 0], [10, 0], [0, -10]], size), { centre: ['0', '0'], radius: '10 mm', from: '180 deg', to: '360 deg', count: '5' });
  assert.deepEqual(bodyOf('line', [[0, 0], [10, 0], [10, 0], [10, 10]], { ...size, by: 'spacing' }), { through: [['0', '0'], ['10', '0'], ['10', '10']], count: '3' });
  for (const kind of ['row', 'grid', 'ring', 'line'] as const) assert.equal(bodyOf(kind, [[1, 1], [1, 1]], size), null);
  assert.equal(bodyOf('arc', [[0, 0], [10, 0], [5, 0]], size), null);
});

test('LEDs stand where the server will put them', () => {
  close(ledsOf('row', { from: ['0', '1'], length: '1 in', count: '3' }), [[0, 1], [12.7, 1], [25.4, 1]]);
  close(ledsOf('column', { from: ['5', '0'], to: ['5', '-20'], spacing: '10 mm' }), [[5, 0], [5, -10], [5, -20]]);
  close(ledsOf('grid', { from: ['0', '0'], to: ['10', '5'], columns: '2', rows: '2' }), [[0, 0], [0, 5], [10, 0], [10, 5]]);
  close(ledsOf('ring', { centre: ['0', '0'], radius: '10 mm', count: '4' }), [[0, 10], [10, 0], [0, -10], [-10, 0]]);
  close(ledsOf('ring', { centre: ['0', '0'], radius: '10', count: '4', start: '0°', turn: 'anticlockwise' }), [[10, 0], [0, 10], [-10, 0], [0, -10]]);
  close(ledsOf('arc', { centre: ['0', '0'], radius: '10 mm', from: '180 deg', to: '0 deg', count: '3' }), [[-10, 0], [0, 10], [10, 0]]);
  close(ledsOf('line', { through: [['0', '0'], ['10', '0'], ['10', '10']], count: '3' }), [[0, 0], [10, 0], [10, 10]]);
  close(ledsOf('line', { through: [['0', '0'], ['10', '0'], ['10', '10'], ['0', '10']], count: '4', closed: 'true' }), [[0, 0], [10, 0], [10, 10], [0, 10]]);
  assert.deepEqual(ledsOf('row', { from: ['x', '1'], count: '3' }), []);
});

test('a drag is said in words', () => {
  assert.equal(inWords('row', { from: ['0', '0'], to: ['40', '0'], count: '5' }), '40 mm, 5 LEDs, 10 mm apart');
  assert.equal(inWords('line', { through: [['0', '0'], ['10', '0'], ['10', '10']], count: '5', closed: 'true' }), '34.14 mm, 5 LEDs, 6.83 mm apart');
  assert.equal(inWords('row', { from: ['?', '0'], count: '5' }), '');
  assert.equal(inWords('grid', { from: ['0', '0'], to: ['30', '10'], columns: '4', rows: '3' }), '12 LEDs, 10 × 5 mm apart');
});

test('groupings divide without a rest', () => {
  assert.deepEqual(groupings(12, 4, 3), ['each', 'all', '1 column', '2 columns', '1 row', '2', '3', '4', '6']);
  assert.deepEqual(groupings(5), ['each', 'all']);
});

test('a circle goes through three points, and angles are tidied', () => {
  assert.deepEqual(circleThrough([0, 10], [10, 0], [0, -10]), { centre: [0, 0], radius: 10 });
  assert.equal(circleThrough([0, 0], [5, 5], [10, 10]), null);
  assert.deepEqual([tidy(43), tidy(52.4), tidy(-1)], [45, 52, 0]);
});

test('points go to what is near', () => {
  const field = { points: [{ at: [10, 10] as Point, what: 'LED' as const }], grid: 5, reach: 2 };
  assert.deepEqual(snap([11, 11], field), { to: [10, 10], on: 'LED', guides: [] });
  assert.deepEqual(snap([10.5, 33], field), { to: [10, 35], on: 'line', guides: [[10, 10]] });
  assert.deepEqual(snap([17, 33], field), { to: [15, 35], on: 'grid', guides: [] });
  assert.deepEqual(snap([17.5, 33.25], { ...field, points: [], grid: 0 }), { to: [17.5, 33.25], on: '', guides: [] });
});

const lamp = (groups: string[], leds: [number, number, number][]): Lamp => ({
  name: 'l', kind: '', oppositeOf: '', place: { end: 'rear', side: 'LH', x: 0, y: 0 }, outline: [[0, 0], [9, 0], [9, 9]], leds, groups: groups.map((name) => ({ name, colour: 'red' })), zones: [], paths: [], functions: [],
});

const tree: Value = {
  lamps: {
    l: {
      outline: [['0', '0'], ['1/2 in', '0'], ['9', '9']],
      leds: [
        { led: { name: 'a', at: ['0', '0'], part: 'red-622', group: 'pair' } },
        { row: { name: 'bar', from: ['0', '5'], to: ['9', '5'], count: '2', group: '1', part: 'red-622' } },
        { led: { name: 'b', at: ['1', '1'], part: 'red-622', group: 'pair' } },
        { line: { name: 'edge', through: [['0', '0'], ['10', '0']], count: '2', group: 'all', part: 'red-622' } },
      ],
    },
    r: { 'opposite-hand-of': 'l' },
  },
};

test('every LED is found in its pattern', () => {
  const seen = lamp(['pair.1', 'bar.1', 'bar.2', 'edge.1'], [[0, 0, 0], [1, 1, 0], [0, 5, 1], [9, 5, 2], [0, 0, 3], [10, 0, 3]]);
  const d = drawingOf(tree, 'l', seen, true)!;
  assert.deepEqual(d.of.map((p) => p?.index), [0, 2, 1, 1, 3, 3]);
  assert.deepEqual(d.patterns.map((p) => p.leds), [[0], [2, 3], [1], [4, 5]]);
  const hand = drawingOf(tree, 'r', { ...seen, oppositeOf: 'l' }, true)!;
  assert.deepEqual([hand.hand, hand.on, hand.patterns.length], [true, 'l', 0]);
  assert.equal(drawingOf(tree, 'x', undefined, false), null);
});

test('handles change what they belong to, and no more', () => {
  const d = drawingOf(tree, 'l', lamp([], []), true)!;
  const row = itemOf(d.patterns[1]!);
  const [from, to] = handlesOf(tree, d, row);
  assert.deepEqual(dragged(tree, d, row, to!, [20, 99]), { item: row, values: { to: ['20', '5'] }, leds: [[0, 5], [20, 5]] });
  assert.equal(dragged(tree, d, row, from!, [9, 5]), null);
  const corners = handlesOf(tree, d, 'outline');
  assert.equal(corners.length, 6); // three corners, and one more on each side
  const change = dragged(tree, d, 'outline', corners.find((h) => h.insert === 3)!, [2, 8])!;
  assert.deepEqual('line' in change && [change.corner, change.insert, change.line.length], [3, true, 4]);
  const edge = dragged(tree, d, itemOf(d.patterns[3]!), handlesOf(tree, d, itemOf(d.patterns[3]!)).at(-1)!, [20, 0])!;
  assert.deepEqual(edge.leds, [[0, 0], [20, 0]]);
  assert.equal(lineOf(tree, d, 'outline')!.closed, true);
});

test('arcs stay less than a circle', () => {
  const arc: Value = { lamps: { l: { leds: [{ arc: { name: 'x', centre: ['0', '0'], radius: '10 mm', from: '180 deg', to: '0 deg', count: '3', group: 'all', part: 'red-622' } }] } } };
  const d = drawingOf(arc, 'l', lamp([], []), true)!;
  const handles = handlesOf(arc, d, 'leds.0');
  const drag = (id: string, to: Point) => dragged(arc, d, 'leds.0', handles.find((h) => h.id === id)!, to);
  assert.deepEqual(drag('last', [10, -10]), { item: 'leds.0', values: { to: '-45 deg' }, leds: ledsOf('arc', { centre: ['0', '0'], radius: '10 mm', from: '180 deg', to: '-45 deg', count: '3' }) });
  assert.equal(drag('last', [-10, 0]), null);
  assert.deepEqual((drag('radius', [0, 25]) as { values: unknown }).values, { radius: '25 mm' });
});

test('the view goes both ways, keeps what is under the pointer, and its ruler is readable', () => {
  const v = fitted({ x0: 0, y0: 0, x1: 200, y1: 100 }, 800, 600, { left: 20, top: 20, rest: 10 });
  assert.deepEqual(millimetre(v, screen(v, [12, 34])).map((n) => Number(n.toFixed(6))), [12, 34]);
  const near = zoomed(v, 3, [100, 200]);
  const [a, b] = [millimetre(v, [100, 200]), millimetre(near, [100, 200])];
  assert.ok(Math.hypot(a[0] - b[0], a[1] - b[1]) < 1e-9);
  for (let scale = 0.05; scale < 400; scale *= 1.3)
    for (const inch of [false, true]) {
      const t = ticks(scale, inch);
      assert.ok(t.large * scale >= 50 || t.large >= 1000, `${scale}: ${t.large}`);
      assert.ok(Math.abs(t.large / t.small - Math.round(t.large / t.small)) < 1e-6);
    }
});

test('the LEDs of a group are joined by the shortest lines', () => {
  const lines = joined([[0, 0], [0, 10], [20, 0], [20, 10], [0, 20]]);
  assert.equal(lines.length, 4);
  assert.equal(lines.reduce((sum, [a, b]) => sum + Math.hypot(a[0] - b[0], a[1] - b[1]), 0), 50);
  assert.deepEqual(joined([[1, 1]]), []);
});

test('a part of the catalogue that means another here is told of', () => {
  const catalogue = [{ name: 'red-622', colour: 'red' }, { name: 'amber-590', colour: 'amber' }];
  const tree = { parts: { note: 'x', 'red-622': { colour: 'amber' }, 'amber-590': { colour: 'amber' }, mine: { colour: 'white' } } };
  const led = (part: string) => `- led: {name: a, at: [0, 0], part: ${part}}\n`;
  assert.deepEqual(otherHere(led('red-622') + led('amber-590') + led('mine') + led('red-622'), tree, catalogue), [{ name: 'red-622', own: 'amber', catalogue: 'red' }]);
  assert.deepEqual(otherHere(`parts:\n  red-622: {colour: amber}\nleds:\n${led('red-622')}`, tree, catalogue), []);
  assert.deepEqual(otherHere(`leds:\n${led('"red-622"')}parts: {red-622: {colour: blue}}`, tree, catalogue), []);
  assert.deepEqual(otherHere(led('red-622'), {}, catalogue), []);
});

test('what is copied takes the own parts along that it uses', () => {
  const leds: Value[] = [{ led: { name: 'a', at: ['0', '0'], part: 'deep-red' } }, { row: { name: 'b', from: ['0', '5'], to: ['9', '5'], count: '2', group: '1', part: 'red-622' } }];
  const plain = '- led: {name: a, at: [0, 0], part: deep-red}\n- row: {name: b, from: [0, 5], to: [9, 5], count: 2, group: 1, part: red-622}\n';
  const parts = { note: 'of ours', idle: { colour: 'blue' }, 'deep-red': { colour: 'red', note: 'bin: 3' } };
  assert.equal(clipText({ parts }, leds), `parts:\n  deep-red: {colour: red, note: "bin: 3"}\nleds:\n${plain}`);
  assert.equal(clipText({ parts: { idle: parts.idle } }, leds), plain);
  assert.equal(clipText({}, leds), plain);
  assert.deepEqual(partsAdded({}, { parts }).sort(), ['deep-red', 'idle']);
  assert.deepEqual(partsAdded({ parts }, { parts: { ...parts, 'deep-red-2': { colour: 'amber' } } }), ['deep-red-2']);
});
