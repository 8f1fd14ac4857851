// The scope picture: volts of a wire over time, the thresholds, when the function is asked for, and what the module makes of it.

import { useEffect, useRef, useState } from 'preact/hooks';
import { useSignal } from '@preact/signals';
import type { Diagnostic } from '../../engine/types';

// WirePicture is what the server says of a wire; docs/workbench.md, "wire".
export interface WirePicture {
  input: string;
  wire: string;
  road: string;
  says: string;
  written: string;
  board: string;
  supply: number;
  lowUpTo: number;
  highFrom: number;
  offVolts: number;
  untilMs: number;
  asked: [number, number];
  volts: [number, number][];
  sampleMs: number;
  decisions: { input: string; spans: [number, number][] }[];
  filter: string;
  onMs: number | null;
  offMs: number | null;
  mostOnMs: number;
  mostOffMs: number;
  problems: Diagnostic[] | null;
}

// Trace is a scope record, thinned: the least and most volts in each stretch.
export interface Trace {
  untilMs: number;
  lowUpTo: number;
  highFrom: number;
  trace: [number, number, number][];
}

type Range = [number, number]; // ms

export function ScopePicture({ picture: p, trace, name }: { picture?: WirePicture; trace?: Trace; name: string }) {
  const host = useRef<HTMLDivElement>(null);
  const [size, setSize] = useState<[number, number, number]>([600, 240, 16]);
  const near = useSignal<'whole' | 'on' | 'off' | 'before'>('whole');
  useEffect(() => {
    const seen = new ResizeObserver(([e]) => setSize([e!.contentRect.width, e!.contentRect.height, parseFloat(getComputedStyle(document.documentElement).fontSize)]));
    seen.observe(host.current!);
    return () => seen.disconnect();
  }, []);
  const whole: Range = [0, (p ?? trace)!.untilMs];
  const range = p ? ranges(p)[near.value] : whole;
  const { lowUpTo, highFrom } = (p ?? trace)!;
  const [width, height, rem] = size;
  const left = 3.2 * rem;
  const top = p ? 2.2 * rem : 0.8 * rem;
  const bottom = p ? (1.6 * (p.decisions.length || 1) + 1.7) * rem : 1.6 * rem;
  const most = Math.max(highFrom, ...(p ? p.volts.map((v) => v[1]) : trace!.trace.map((v) => v[2]))) * 1.08;
  const x = (ms: number) => left + ((Math.min(Math.max(ms, range[0]), range[1]) - range[0]) / (range[1] - range[0])) * (width - left - 0.8 * rem);
  const y = (v: number) => top + (1 - Math.max(v, 0) / most) * Math.max(1, height - top - bottom);
  return (
    <div class="scope">
      {p && (
        <div class="row scope-near" role="group" aria-label="Which part">
          {(
            [
              ['whole', 'Whole'],
              ['before', 'While off'],
              ['on', 'Going on'],
              ['off', 'Going off'],
            ] as const
          ).map(([id, says]) => (
            <button class="chip" aria-pressed={near.value === id} onClick={() => (near.value = id)}>
              {says}
            </button>
          ))}
        </div>
      )}
      <div ref={host} class="scope-host">
        <svg width={width} height={height} role="img" aria-label={said(p, trace, name)}>
          <rect class="scope-unsure" x={left} width={Math.max(0, width - left - 0.8 * rem)} y={y(highFrom)} height={Math.max(0, y(lowUpTo) - y(highFrom))} />
          <Threshold at={y(highFrom)} x={left} end={width - 0.8 * rem} says={`${highFrom.toFixed(1)} V: high from here`} above rem={rem} />
          <Threshold at={y(lowUpTo)} x={left} end={width - 0.8 * rem} says={`${lowUpTo.toFixed(1)} V: low up to here`} rem={rem} />
          {scale(most).map((v) => (
            <g>
              <line class="scope-grid" x1={left - 4} x2={left} y1={y(v)} y2={y(v)} />
              <text class="scope-text" x={left - 7} y={y(v)} text-anchor="end" dominant-baseline="middle">
                {v} V
              </text>
            </g>
          ))}
          <line class="scope-grid" x1={left} x2={left} y1={top} y2={height - bottom} />
          {times(range).map((ms) => (
            <g>
              <line class="scope-grid" x1={x(ms)} x2={x(ms)} y1={height - bottom} y2={height - bottom + 4} />
              <text class="scope-text" x={x(ms)} y={height - bottom + 0.95 * rem} text-anchor="middle">
                {Number(ms.toFixed(1))} ms
              </text>
            </g>
          ))}
          {p && <Looks p={p} range={range} x={x} y={y} />}
          <path class="scope-line" d={p ? stepped(p, range, x, y) : envelope(trace!, x, y)} />
          {p && <Bars p={p} range={range} x={x} top={top} base={height - bottom} rem={rem} />}
        </svg>
      </div>
    </div>
  );
}

function ranges(p: WirePicture): Record<'whole' | 'on' | 'off' | 'before', Range> {
  const on = Math.max(8, 3 * p.mostOnMs, 2.5 * (p.onMs ?? 0));
  const off = Math.max(8, 2 * p.mostOffMs, 2.5 * (p.offMs ?? 0));
  const test = p.volts.find((v, i) => i > 0 && v[0] < p.asked[0] && v[1] !== p.volts[0]![1])?.[0] ?? p.asked[0] / 2;
  return {
    whole: [0, p.untilMs],
    on: [p.asked[0] - on * 0.3, p.asked[0] + on],
    off: [p.asked[1] - off * 0.5, Math.min(p.untilMs, p.asked[1] + off)],
    before: [Math.max(0, test - 6), Math.max(0, test - 6) + 14],
  };
}

// Looks marks where the module looks, when they are far enough apart to be seen.
function Looks({ p, range, x, y }: { p: WirePicture; range: Range; x: (ms: number) => number; y: (v: number) => number }) {
  const n = (range[1] - range[0]) / p.sampleMs;
  if (n > 120) return null;
  const dots = [];
  let next = 0;
  let v = p.volts[0]![1];
  for (let ms = Math.ceil(range[0] / p.sampleMs) * p.sampleMs; ms <= range[1]; ms += p.sampleMs) {
    while (next < p.volts.length && p.volts[next]![0] <= ms) v = p.volts[next++]![1];
    dots.push(<circle class={v >= p.highFrom ? 'scope-look high' : 'scope-look'} cx={x(ms)} cy={y(v)} r={v >= p.highFrom ? 3.2 : 2.4} />);
  }
  return <g>{dots}</g>;
}

function Threshold({ at, x, end, says, above, rem }: { at: number; x: number; end: number; says: string; above?: boolean; rem: number }) {
  return (
    <g>
      <line class="scope-threshold" x1={x} x2={end} y1={at} y2={at} />
      <text class="scope-text" x={end - 4} y={above ? at - 0.35 * rem : at + 0.95 * rem} text-anchor="end">
        {says}
      </text>
    </g>
  );
}

// Bars are above when the function is asked for, and below when the module takes each input for on, with how much later.
function Bars({ p, range, x, top, base, rem }: { p: WirePicture; range: Range; x: (ms: number) => number; top: number; base: number; rem: number }) {
  const high = 1.25 * rem;
  const bar = (from: number, to: number, at: number, kind: string, says: string) =>
    to > range[0] && from < range[1] ? (
      <g>
        <rect class={kind} x={x(from)} width={Math.max(1, x(to) - x(from))} y={at} height={high} rx={2} />
        {x(to) - x(from) > says.length * 0.5 * rem && (
          <text class="scope-bar-text" x={(x(from) + x(to)) / 2} y={at + high / 2} text-anchor="middle" dominant-baseline="middle">
            {says}
          </text>
        )}
      </g>
    ) : null;
  const later = (ms: number | null, from: number) => {
    const at = base + 1.7 * rem + (p.decisions.length - 1) * 1.6 * rem;
    if (ms === null || from + ms > range[1] || x(from + ms) - x(from) < 2.6 * rem) return null;
    return (
      <g>
        <line class="scope-later" x1={x(from)} x2={x(from)} y1={top - 0.4 * rem} y2={at + high} />
        <line class="scope-later" x1={x(from + ms)} x2={x(from + ms)} y1={top} y2={at + high} />
        <text class="scope-text strong" x={(x(from) + x(from + ms)) / 2} y={(top + base) / 2 - 0.2 * rem} text-anchor="middle">
          {ms.toFixed(1)} ms
        </text>
      </g>
    );
  };
  return (
    <g>
      {bar(p.asked[0], p.asked[1], top - high - 0.5 * rem, 'scope-asked', `${p.input} is on in the car`)}
      {later(p.onMs, p.asked[0])}
      {later(p.offMs, p.asked[1])}
      {p.decisions.map((d, i) => d.spans.map(([from, to]) => bar(from, to, base + 1.7 * rem + i * 1.6 * rem, 'scope-decided', `the module reads ${d.input} as on`)))}
    </g>
  );
}

function stepped(p: WirePicture, [from, to]: Range, x: (ms: number) => number, y: (v: number) => number): string {
  let v = p.volts[0]![1];
  let i = 0;
  while (i < p.volts.length && p.volts[i]![0] <= from) v = p.volts[i++]![1];
  let d = `M${x(from).toFixed(1)} ${y(v).toFixed(1)}`;
  for (; i < p.volts.length && p.volts[i]![0] < to; i++) {
    d += `H${x(p.volts[i]![0]).toFixed(1)}V${y(p.volts[i]![1]).toFixed(1)}`;
  }
  return `${d}H${x(to).toFixed(1)}`;
}

function envelope(t: Trace, x: (ms: number) => number, y: (v: number) => number): string {
  return t.trace.map(([ms, low, high], i) => `${i ? 'L' : 'M'}${x(ms).toFixed(1)} ${y(low).toFixed(1)}V${y(high).toFixed(1)}`).join('');
}

const scale = (most: number) => [0, 5, 10, 15, 20, 25].filter((v) => v < most * 0.97);

function times([from, to]: Range): number[] {
  const step = [0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000].find((s) => (to - from) / s <= 9) ?? 50_000;
  const out = [];
  for (let ms = Math.ceil(from / step) * step; ms <= to - step * 0.3; ms += step) out.push(ms);
  return out;
}

function said(p: WirePicture | undefined, trace: Trace | undefined, name: string): string {
  if (trace) return `A scope record of ${name}, ${(trace.untilMs / 1000).toFixed(2)} seconds.`;
  const rises = p!.volts.filter((v, i) => i > 0 && v[1] > p!.highFrom && v[0] >= p!.asked[0] && v[0] < p!.asked[1]).length;
  const what = p!.onMs === null ? 'the module never takes it for on' : `the module takes it for on ${p!.onMs.toFixed(1)} milliseconds later${p!.offMs === null ? '' : `, and for off ${p!.offMs.toFixed(1)} milliseconds later`}`;
  return `Volts of the wire ${p!.wire} at ${p!.supply} volts: ${p!.says}. While on it rises ${rises} times; ${what}.`;
}
