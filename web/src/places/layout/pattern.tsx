// The exact values of one pattern of LEDs, as the document has them.

import { at, type Mapping } from '../../engine/tree';
import type { Diagnostic, Value } from '../../engine/types';
import { millimetres } from '../../engine/units';
import { parts } from '../../ui/catalogue';
import { inspect } from '../../ui/state';
import { many } from '../../ui/words';
import { rename, setPattern } from './acts';
import type { Drawing, Pattern } from './drawing';
import { Exact, Pair, Pick } from './exact';
import { groupings, inWords, long, mm, reachOf, type Drawn } from './shapes';
import { ledsOf } from './unroll';

export const kindNames: Record<string, string> = { led: 'Single LED', row: 'Row', column: 'Column', grid: 'Grid', ring: 'Ring', arc: 'Arc', line: 'Line', list: 'Table' };

export function PatternValues({ d, p }: { d: Drawing; p: Pattern }) {
  const b = p.body;
  const text = (key: string) => (typeof b[key] === 'string' ? (b[key] as string) : '');
  const part = (key: string, i: number) => {
    const v = at(b[key], [String(i)]);
    return typeof v === 'string' ? v : '';
  };
  const set = (values: Record<string, Value>) => setPattern(d, p.index, values);
  const point = (key: string, name: string) => <Pair name={name} x={part(key, 0)} y={part(key, 1)} set={(x, y) => set({ [key]: [x, y] })} />;
  const field = (key: string, name: string, hint?: string) => <Exact name={name} value={text(key)} hint={hint} set={(v) => set({ [key]: v || null })} />;
  return (
    <div class="exacts" key={`${d.on} ${p.index}`}>
      <Exact name="Name" value={p.name} set={(to) => rename(p.name, to)} />
      {p.kind === 'led' && point('at', 'At')}
      {(p.kind === 'row' || p.kind === 'column') && <Straight p={p} set={set} />}
      {p.kind === 'grid' && (
        <>
          {point('from', 'First')}
          {point('to', 'Last')}
          <div class="exact-two">
            {field('columns', 'Columns')}
            {field('rows', 'Rows')}
          </div>
        </>
      )}
      {(p.kind === 'ring' || p.kind === 'arc') && (
        <>
          {point('centre', 'Centre')}
          {field('radius', 'Radius')}
        </>
      )}
      {p.kind === 'ring' && (
        <>
          {field('count', 'Count')}
          <div class="exact-two">
            {field('start', 'First LED at', '90 deg')}
            <Pick name="Turn" value={text('turn') || 'clockwise'} options={[['clockwise', 'clockwise'], ['anticlockwise', 'anticlockwise']]} set={(v) => void set({ turn: v === 'clockwise' ? null : v })} />
          </div>
        </>
      )}
      {p.kind === 'arc' && (
        <>
          <div class="exact-two">
            {field('from', 'From')}
            {field('to', 'To')}
          </div>
          <Counted b={b} reach={(Math.abs((parseFloat(text('to')) || 0) - (parseFloat(text('from')) || 0)) * Math.PI * (millimetres(text('radius')) ?? 0)) / 180} set={set} />
        </>
      )}
      {p.kind === 'line' && (
        <>
          <Counted b={b} reach={reachOf(b)} set={set} />
          <label class="tick">
            <input type="checkbox" checked={text('closed') === 'true'} onChange={(e) => void set({ closed: e.currentTarget.checked ? 'true' : null })} />
            Closed: back to the first corner
          </label>
          <Corners points={b.through} set={(through) => set({ through })} />
        </>
      )}
      {p.kind === 'list' && field('file', 'File')}
      <PartPick value={p.part} set={(v) => void set({ part: v })} />
      {p.kind === 'led' ? (
        p.group && <Exact name="Group" value={p.group} set={(v) => set({ group: v || null })} />
      ) : (
        <Exact name="Group by" value={p.group} offers={groupings(p.leds.length || ledsOf(p.kind, b).length, p.kind === 'grid' ? Number(text('columns')) : 0, p.kind === 'grid' ? Number(text('rows')) : 0)} set={(v) => set({ group: v })} />
      )}
      <p class="faint exact-says">
        {p.kind !== 'led' && p.kind !== 'list' && inWords(p.kind as Drawn, b) ? `${inWords(p.kind as Drawn, b)}. ` : ''}
        {p.leds.length > 0 && `${many(new Set(p.leds.map((i) => d.lamp.leds[i]![2])).size, 'group')}.`}{' '}
        <button class="link" onClick={() => inspect(['lamps', d.on, 'leds', String(p.index)])}>
          Inspect
        </button>
      </p>
    </div>
  );
}

function Straight({ p, set }: { p: Pattern; set: (v: Record<string, Value>) => Promise<Diagnostic[] | null> }) {
  const b = p.body;
  const across = p.kind === 'row' ? 0 : 1;
  const from = [at(b.from, ['0']), at(b.from, ['1'])].map((v) => (typeof v === 'string' ? v : ''));
  const to = [at(b.to, ['0']), at(b.to, ['1'])].map((v) => (typeof v === 'string' ? v : ''));
  const start = millimetres(from[across]!) ?? 0;
  const written = typeof b.length === 'string';
  const reach = written ? (millimetres(b.length as string) ?? 0) : (millimetres(to[across]!) ?? start) - start;
  // The end of a row keeps its height: where the beginning goes up, so does it.
  const begin = (x: string, y: string) => set(written ? { from: [x, y] } : { from: [x, y], to: across === 0 ? [to[0]!, y] : [x, to[1]!] });
  const end = (v: string) => set({ to: across === 0 ? [v, from[1]!] : [from[0]!, v] });
  const length = (v: string) => {
    const mmOf = millimetres(v);
    if (written || mmOf === null) return set({ length: v, ...(written ? {} : { to: null }) });
    const at = mm(start + Math.sign(reach || 1) * mmOf);
    return set({ to: across === 0 ? [at, from[1]!] : [from[0]!, at] });
  };
  return (
    <>
      <Pair name="First" x={from[0]!} y={from[1]!} set={begin} />
      <div class="exact-two">
        {!written && <Exact name={across === 0 ? 'Last x' : 'Last y'} value={to[across]!} set={end} />}
        <Exact name="Length" value={written ? (b.length as string) : long(Math.abs(reach))} set={length} />
      </div>
      <Counted b={b} reach={Math.abs(reach)} set={set} />
    </>
  );
}

// Counted is a count or a spacing, whichever is written, and the way to the other one.
function Counted({ b, reach, set }: { b: Mapping; reach: number; set: (v: Record<string, Value>) => Promise<Diagnostic[] | null> }) {
  const spaced = typeof b.spacing === 'string';
  const count = typeof b.count === 'string' ? b.count : '';
  const gaps = spaced ? Math.max(1, Math.round(reach / (millimetres(b.spacing as string) || reach))) : Math.max(1, Number(count) - 1);
  const other = () => void set(spaced ? { spacing: null, count: String(gaps + 1) } : { count: null, spacing: long(reach / gaps) });
  return (
    <div class="exact-two">
      {spaced ? <Exact name="Spacing" value={b.spacing as string} set={(v) => set({ spacing: v })} /> : <Exact name="Count" value={count} set={(v) => set({ count: v })} />}
      <button class="quiet exact-other" onClick={other} title={spaced ? 'Say how many LEDs there are instead' : 'Say how far apart they are instead'}>
        {spaced ? `or ${gaps + 1} LEDs` : `or ${mm(reach / gaps)} mm apart`}
      </button>
    </div>
  );
}

// Corners are the points of a line, one a line.
export function Corners({ points, set }: { points: Value | undefined; set: (points: Value[]) => Promise<Diagnostic[] | null> }) {
  const value = Array.isArray(points) ? points.map((p) => (Array.isArray(p) ? p.join(', ') : '')).join('\n') : '';
  const read = (text: string) =>
    text
      .split('\n')
      .map((l) => l.trim())
      .filter(Boolean)
      .map((l) => l.replace(/^\[|\]$/g, '').split(/\s*,\s*/));
  return <Exact name="Corners" value={value} lines hint="x, y in mm, one a line" set={(text) => set(read(text))} />;
}

export function PartPick({ value, set }: { value: string; set: (v: string) => void }) {
  return <Pick name="LED" value={value} options={parts.value.map((p) => [p.name, p.about ? `${p.name}: ${p.about}` : p.name])} set={set} />;
}
