import assert from 'node:assert/strict';
import { test } from 'node:test';
import { find, score } from './fuzzy';
import { example, fitting, Form, shown, summary, type Schema } from './schema';
import { at, entry, written } from './tree';
import { clock, length, millimetres, milliseconds, percent, time } from './units';

test('lengths and times as they are typed', () => {
  for (const [text, mm] of [['12.5 mm', 12.5], ['1/2 in', 12.7], ['1 1/2 in', 38.1], ['12', 12], ['-3 cm', -30], ['2 ft', 609.6], ['', null], ['1/0 in', null], ['3 parsecs', null], ['1 2 mm', null]] as const)
    assert.equal(mm === null ? millimetres(text) : Number(millimetres(text)?.toFixed(9)), mm, text);
  for (const [text, ms] of [['300 ms', 300], ['1.5 s', 1500], ['2 min', 120_000], ['12', null], ['fast', null]] as const) assert.equal(milliseconds(text), ms, text);
  for (const ms of [0, 10, 150, 990, 1000, 1250, 4000]) assert.equal(milliseconds(time(ms)), ms);
  assert.equal(millimetres(length(12.345)), 12.35);
  assert.equal(clock(3456), '03.46');
  assert.equal(clock(61_000), '1:01.00');
  assert.equal(percent(0.042), '4.2 %');
  assert.equal(percent(1), '100 %');
});

test('fuzzy finding wants the letters in order and likes beginnings of words', () => {
  assert.equal(score('xyz', 'sweep'), 0);
  assert.equal(score('pews', 'sweep'), 0);
  assert.deepEqual(find('gl', ['angle of it', 'Go to Light'], (s) => s)[0], 'Go to Light');
  assert.deepEqual(find('', ['b', 'a'], (s) => s), ['b', 'a']);
});

const schema: Schema = {
  type: 'object',
  properties: {
    job: { $ref: '#/$defs/Job', description: 'What is built.' },
    lamps: { type: 'object', additionalProperties: { $ref: '#/$defs/Lamp' } },
    signals: { type: 'array', items: { type: 'object', minProperties: 1, maxProperties: 1, additionalProperties: { $ref: '#/$defs/Signal' } } },
  },
  $defs: {
    Job: { type: 'object', properties: { title: { type: 'string' }, use: { type: 'string', enum: ['road', 'show'] } }, required: ['title'] },
    Signal: { type: 'object', properties: { input: { type: 'string' }, takes: { anyOf: [{ type: 'string' }, { type: 'array', items: { type: 'string' } }] } } },
    Lamp: {
      type: 'object',
      properties: {
        outline: { type: 'array', items: { type: 'array', items: { type: 'number' } } },
        leds: { type: 'array', items: { $ref: '#/$defs/Pattern' } },
        zones: { type: 'object', additionalProperties: { anyOf: [{ $ref: '#/$defs/Zone' }, { type: 'string' }, { type: 'array', items: { type: 'string' } }] } },
        required: { type: 'boolean' },
      },
    },
    Zone: { type: 'object', properties: { with: { type: 'string' }, colour: { type: 'string', enum: ['red'] } } },
    Pattern: { type: 'object', minProperties: 1, maxProperties: 1, properties: { row: { type: 'object', properties: { count: { type: 'integer' } } } } },
  },
};

test('what may stand where', () => {
  const form = new Form(schema);
  const tree = { job: { title: 'x' }, lamps: { a: { zones: { long: { colour: 'red' }, short: 'b' }, leds: [{ row: { count: '3' } }] } }, signals: [{ stop: { input: 'stop' } }] };
  for (const [path, kind] of [
    [[], 'group'],
    [['job'], 'group'],
    [['job', 'use'], 'choice'],
    [['lamps'], 'map'],
    [['lamps', 'a'], 'group'],
    [['lamps', 'a', 'outline'], 'points'],
    [['lamps', 'a', 'leds'], 'list'],
    [['lamps', 'a', 'leds', '0'], 'one'],
    [['lamps', 'a', 'leds', '0', 'row', 'count'], 'text'],
    [['lamps', 'a', 'zones', 'long'], 'group'],
    [['lamps', 'a', 'zones', 'short'], 'items'],
    [['lamps', 'a', 'required'], 'truth'],
    [['signals'], 'named'],
    [['signals', '0'], 'one'],
    [['signals', '0', 'stop', 'takes'], 'items'],
  ] as [string[], string][])
    assert.equal(form.kind(form.at(tree, path)!), kind, path.join('.'));
  assert.equal(form.at(tree, ['job', 'nothing']), null);
  assert.equal(form.at(tree, ['job'])!.description, 'What is built.');
});

test('values go into fields and come out as they were', () => {
  for (const [kind, value] of [
    ['text', '12.5 mm'],
    ['items', ['a', 'b.1..4']],
    ['items', '1..12'],
    ['points', [['0', '0'], ['180 mm', '1/2 in']]],
  ] as const)
    assert.deepEqual(fitting(kind, shown(kind, value as any)), value);
  assert.equal(fitting('text', '  '), null);
  assert.deepEqual(fitting('items', '[19..24, 13..18]'), ['19..24', '13..18']);
  assert.equal(example({ description: 'How long. A time in ms or s, as in 300 ms; at least 0 ms.' }), '300 ms');
  assert.equal(example({ description: 'A voltage in V, as in 13.5 V; at most 16 V.' }), '13.5 V');
});

test('trees are read, and said in few words', () => {
  const tree = { a: [{ b: 'c' }, null], 'to-string': 'x' };
  assert.equal(at(tree, ['a', '0', 'b']), 'c');
  assert.equal(at(tree, ['a', '7']), undefined);
  assert.equal(at(tree, ['toString']), undefined);
  assert.deepEqual(entry({ sweep: { on: 'x' } }), ['sweep', { on: 'x' }]);
  assert.equal(written([['0', '1'], { a: 'b' }]), '[[0, 1], {a: b}]');
  assert.equal(summary({ sweep: { on: ['a', 'b'], for: '1 s', note: 'n' } }), 'sweep a, b · 1 s');
});
