import assert from 'node:assert/strict';
import { test } from 'node:test';
import type { Job } from '../engine/types';
import { offered, pieceAt, put } from './pieces';
import { regionNames } from './regions';

test('the word under the caret gives way to the name that is chosen', () => {
  const text = 'tail-lh.bar, ar, eye';
  const p = pieceAt(text, 15, true);
  assert.deepEqual(p, { from: 13, to: 15, word: 'ar' });
  assert.deepEqual(put(text, p, 'arrow'), { text: 'tail-lh.bar, arrow, eye', caret: 18 });
  assert.deepEqual(put('bar,', pieceAt('bar,', 4, true), 'eye'), { text: 'bar, eye', caret: 8 });
  assert.deepEqual(put('bar, ', pieceAt('bar, ', 5, true), 'eye'), { text: 'bar, eye', caret: 8 });
  assert.deepEqual(pieceAt('[bar, ey]', 8, true).word, 'ey');
  assert.deepEqual(pieceAt('a, b', 1, false).word, 'a, b');
  assert.deepEqual(put('', pieceAt('', 0, true), 'bar'), { text: 'bar', caret: 3 });
});

test('names are offered that fit and are not there yet, groups when a part is typed', () => {
  const all = ['arrow', 'bar', 'bar.1', 'bar.2', 'sidebar', 'eye'];
  const after = (text: string, whole = false, several = true) => offered(all, text, pieceAt(text, text.length, several), whole, several);
  assert.deepEqual(after(''), ['arrow', 'bar', 'sidebar', 'eye']);
  assert.deepEqual(after('bar, '), ['arrow', 'sidebar', 'eye']);
  assert.deepEqual(after('ba'), ['bar', 'sidebar']);
  assert.deepEqual(after('bar.'), ['bar.1', 'bar.2']);
  assert.deepEqual(after('bar.1'), []);
  assert.deepEqual(after('eye'), []);
  assert.deepEqual(after('eye', true), ['arrow', 'bar', 'sidebar', 'eye']);
  assert.deepEqual(after('none'), []);
});

test('zones, patterns and groups of the lamps can be named', () => {
  const lamp = (name: string, zones: string[], groups: string[]) => ({ name, zones: zones.map((name) => ({ name })), groups: groups.map((name) => ({ name })), paths: [] });
  const job = {
    tree: { lamps: { rear: { leds: [{ row: { name: 'bar' } }, { led: { name: 'a', group: 'pair' } }], zones: { most: 'bar' } }, mate: { 'opposite-hand-of': 'rear' } }, routines: { run: { across: ['rear', 'mate'] }, low: {} } },
    lamps: [lamp('rear', ['bar', 'pair', 'most'], ['bar.1', 'bar.2', 'pair.1']), lamp('mate', ['bar', 'pair', 'most'], ['bar.1', 'bar.2', 'pair.1'])],
  } as unknown as Job;
  const own = ['bar', 'pair', 'most', 'bar.1', 'bar.2', 'pair.1'];
  const of = (name: string) => own.map((r) => `${name}.${r}`);
  assert.deepEqual(regionNames(job, ['signals', '0', 'stop', 'takes'], 'takes'), [...own, 'rear', ...of('rear'), 'mate', ...of('mate')]);
  assert.deepEqual(regionNames(job, ['routines', 'low', 'strokes', '0', 'hold', 'on'], 'on'), own);
  assert.deepEqual(regionNames(job, ['routines', 'run', 'strokes', '0', 'hold', 'on', '1'], 'on'), [...own, 'rear', ...of('rear'), 'mate', ...of('mate')]);
  assert.deepEqual(regionNames(job, ['lamps', 'rear', 'zones', 'most'], 'most'), own.filter((n) => n !== 'most'));
  assert.deepEqual(regionNames(job, ['lamps', 'rear', 'functions', 'stop', 'zone'], 'zone'), own);
});
