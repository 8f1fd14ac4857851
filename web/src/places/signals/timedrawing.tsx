// The timing of a signal or show: what it does from the press to the end, and what a return does. Not to scale, so that a flash and ten
// minutes fit on one line; the figures say how long.

import type { ComponentChildren } from 'preact';
import type { Layer, Timing } from '../../engine/types';

export function TimeDrawing({ layer: l }: { layer: Layer }) {
  const t = l.timing;
  if (!t) return <p class="faint">How long it takes is still being worked out…</p>;
  const parts: Part[] = [];
  if (l.arrive) parts.push({ kind: 'arrive', name: l.arrive, ms: t.arriveMs, share: 26 });
  parts.push({ kind: 'stay', name: l.stay || (l.arrive ? 'holds it' : ''), ms: t.loops ? t.stayMs : 0, share: l.arrive ? 26 : 40 });
  const released = parts.reduce((sum, p) => sum + p.share, 0);
  if (t.leaveMs) parts.push({ kind: 'leave', name: l.leave, ms: t.leaveMs, share: 24 });
  if (t.keepMs) parts.push({ kind: 'keep', name: 'dark', ms: t.keepMs, share: 24 });
  const after = t.leaveMs + t.keepMs;
  const window = t.windowMs > 0 ? Math.min(34, Math.max(14, after > 0 ? (24 * t.windowMs) / after : 30)) : 0;
  return (
    <div class="timing" role="img" aria-label={sentences(l, t).join(' ')}>
      <Row name={l.input}>
        <Bar kind="on" share={released} name="on" />
        <span class="timing-release" style={{ left: `${released}%` }} />
      </Row>
      <Row name={l.show ? 'the show' : 'the signal'}>
        {parts.map((p) => (
          <Bar kind={p.kind} share={p.share} name={p.name} figure={p.ms > 0 ? (p.kind === 'stay' ? `${long(p.ms)}, over and over` : p.kind === 'arrive' && l.flasher ? 'to the click' : long(p.ms)) : ''} />
        ))}
        <span class="timing-release" style={{ left: `${released}%` }} />
      </Row>
      {l.arrive && !t.still && (
        <Row name="a return">
          <span class="timing-gap" style={{ width: `${released}%` }} />
          {window > 0 && <Bar kind="window" share={window} name="stays at once" figure={`within ${long(t.windowMs)}`} />}
          <span class="timing-bar again">arrives anew</span>
        </Row>
      )}
      <ul class="timing-says">
        {sentences(l, t).map((s) => (
          <li>{s}</li>
        ))}
      </ul>
    </div>
  );
}

interface Part {
  kind: 'arrive' | 'stay' | 'leave' | 'keep';
  name: string;
  ms: number; // 0: not said
  share: number; // of the drawing, per cent
}

function Bar({ kind, share, name, figure }: { kind: string; share: number; name: string; figure?: string }) {
  return (
    <span class={`timing-bar ${kind}`} style={{ width: `${share}%` }} title={figure ? `${name}: ${figure}` : name}>
      {name}
      {figure && <small>{figure}</small>}
    </span>
  );
}

function Row({ name, children }: { name: string; children: ComponentChildren }) {
  return (
    <div class="timing-row" aria-hidden="true">
      <span class="timing-name">{name}</span>
      <span class="timing-lane">{children}</span>
    </div>
  );
}

export function long(ms: number): string {
  if (ms >= 120_000) return `${Number((ms / 60_000).toFixed(1))} min`;
  if (ms >= 1000) return `${Number((ms / 1000).toFixed(2))} s`;
  return `${Math.round(ms)} ms`;
}

// sentences say the same in words.
export function sentences(l: Layer, t: Timing): string[] {
  const out: string[] = [];
  if (t.still) {
    out.push(t.fast ? 'One light from the first moment: the stop override holds it on within half a millisecond of the decision, whatever else runs.' : 'One light as long as it is on: nothing moves.');
  } else {
    if (l.arrive && l.flasher) out.push(`${l.arrive} is stretched to the on-time of the car’s flasher, so that it ends with the click. The first flash takes 130 ms; about ten flashes later the pace is settled.`);
    else if (l.arrive) out.push(`It arrives with ${l.arrive}, ${long(t.arriveMs)}.`);
    if (l.arrive && t.windowMs > 0) out.push(`A return within ${long(t.windowMs)} of its release goes straight to stay; later it arrives anew.`);
    else if (l.arrive) out.push('Every return arrives anew.');
  }
  if (t.leaveMs) out.push(`When it goes it leaves with ${l.leave}, ${long(t.leaveMs)}.`);
  if (t.keepMs) out.push(`When it has gone its groups stay dark for ${long(t.keepMs)}, so that nothing below shows between two flashes.`);
  if (l.limitMs && t.limitMs) out.push(`After ${long(l.limitMs)} it ends, and must be asked anew.`);
  return out;
}
