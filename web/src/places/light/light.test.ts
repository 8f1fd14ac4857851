import assert from 'node:assert/strict';
import { test } from 'node:test';
import type { Job, Lamp, Value } from '../../engine/types';
import { groupsOf, litBy, partsOf, textOf } from './region';
import { gripsOf, pulled, saysOf, stripOf } from './timestrip';

const lamp = (name: string): Lamp => ({
  name,
  kind: '',
  oppositeOf: '',
  place: { end: 'rear', side: 'LH', x: 0, y: 0 },
  outline: [],
  leds: [],
  groups: ['arrow.1', 'arrow.2', 'arrow.3', 'edge.1', 'edge.2', 'eye'].map((g) => ({ name: g, colour: 'red' })),
  zones: [{ name: 'arrow', groups: [0, 1, 2] }, { name: 'rim', groups: [3, 4, 5] }],
  paths: [],
  functions: [],
});

test('a region means the groups that its words name', () => {
  const l = lamp('tail');
  const cases: [string, number[]][] = [
    ['arrow', [0, 1, 2]],
    ['arrow.2', [1]],
    ['arrow.3..2', [1, 2]],
    ['tail.edge.1..2', [3, 4]],
    ['rim.3', [5]],
    ['eye', [5]],
    ['tail', [0, 1, 2, 3, 4, 5]],
    ['other.arrow', []],
    ['none', []],
    ['', []],
  ];
  for (const [text, want] of cases) assert.deepEqual(groupsOf(l, text), want, text);
  assert.equal(partsOf([l], undefined)[0]!.groups.length, 6);
});

test('the band has a line for each group that a routine goes over, also by a call, and by a call of itself', () => {
  const tree: Value = {
    routines: {
      both: { strokes: [{ hold: { on: 'tail.edge' } }, { sweep: { on: ['edge.2', 'eye'] } }, { call: { routine: 'arrow' } }] },
      arrow: { strokes: [{ beat: { on: 'arrow.1' } }, { call: { routine: 'both' } }] },
      whole: { strokes: [{ fill: {} }] },
    },
  };
  const lit = (routine: string) => litBy({ tree } as unknown as Job, routine, [lamp('tail')]).map((p) => p.group);
  assert.deepEqual(lit('both'), [3, 4, 5, 0]);
  assert.deepEqual(lit('whole'), [0, 1, 2, 3, 4, 5]);
  assert.deepEqual(lit('none'), []);
});

test('chosen groups are written as regions that mean them again', () => {
  const lamps = [lamp('one'), lamp('two')];
  for (let bits = 1; bits < 64; bits++) {
    const picks = [0, 1, 2, 3, 4, 5].filter((g) => bits & (1 << g)).map((group) => ({ lamp: 'two', group }));
    const text = textOf(lamps, picks, true);
    assert.deepEqual(partsOf(lamps, text).map((p) => [p.lamp.name, p.groups]), [['two', picks.map((p) => p.group)]], text.join(' '));
  }
  assert.deepEqual(textOf([lamps[0]!], [0, 1, 2].map((group) => ({ lamp: 'one', group })), false), ['arrow']);
});

test('the strip of times is pulled within the routine', () => {
  const s = { ...stripOf({ start: '200 ms', for: '300 ms' }, 1000, 0), left: 100, wide: 500 };
  assert.deepEqual(gripsOf(s), [['start', 200, 0], ['for', 350, 0]]);
  assert.equal(saysOf(s), 'from 200 ms, for 300 ms');
  const cases: ['start' | 'for', number, string][] = [
    ['start', 100, '0 ms'], ['start', -50, '0 ms'], ['start', 152, '100 ms'], ['start', 900, '700 ms'],
    ['for', 600, '800 ms'], ['for', 900, '800 ms'], ['for', 150, '10 ms'], ['for', 352, '300 ms'],
  ];
  for (const [grip, x, want] of cases) assert.equal(pulled(s, grip, x), want, `${grip} ${x}`);
  const open = { ...stripOf({ start: '200 ms' }, 1000, 0), left: 100, wide: 500 };
  assert.equal(saysOf(open), 'from 200 ms, to the end');
  assert.deepEqual([pulled(open, 'start', 300), pulled(open, 'start', 900), pulled(open, 'for', 350)], ['400 ms', '990 ms', '300 ms']);
  assert.equal(stripOf({}, 1000, 0).length, 1000);
  assert.equal(stripOf({ start: '2 s' }, 1000, 0).length, 0);
});
