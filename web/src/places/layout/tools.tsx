// The tools, and how the next thing is drawn.

import type { Point } from '../../engine/types';
import { millimetres } from '../../engine/units';
import { make } from './make';
import { Exact, Pick } from './exact';
import { PartPick } from './pattern';
import { middle, view } from './canvas';
import { groupings, long, needs, type Tool } from './shapes';
import { drawing, option, options, part, points, take, tool } from './state';

export const tools: { id: Tool; name: string; key: string; says: string }[] = [
  { id: 'choose', name: 'Choose', key: 'S', says: 'Click an LED or a line; drag a rectangle round several; drag what is chosen to move it.' },
  { id: 'led', name: 'LED', key: 'L', says: 'Click where each LED sits.' },
  { id: 'row', name: 'Row', key: 'R', says: 'Drag from the first LED to the last, or click both.' },
  { id: 'column', name: 'Column', key: 'C', says: 'Drag from the first LED to the last, or click both.' },
  { id: 'grid', name: 'Grid', key: 'G', says: 'Drag from the first LED to the one in the opposite corner.' },
  { id: 'ring', name: 'Ring', key: 'O', says: 'Drag from the centre to the first LED.' },
  { id: 'arc', name: 'Arc', key: 'A', says: 'Click the first LED, the last one, and a point of the arc between them.' },
  { id: 'line', name: 'Line', key: 'N', says: 'Click corner after corner. Enter or a double click ends it; Backspace takes one back.' },
  { id: 'outline', name: 'Outline', key: 'U', says: 'Click the corners of the lit face. Enter, a double click, or the first corner ends it.' },
  { id: 'path', name: 'Light path', key: 'H', says: 'Click along the way that light is to travel. Enter or a double click ends it.' },
];

export function Tools() {
  const d = drawing.value!;
  return (
    <div class="tools" role="toolbar" aria-label="Tools">
      {tools.map((t) => (
        <button
          key={t.id}
          class="tool"
          data-tool={t.id}
          aria-pressed={tool.value === t.id}
          aria-disabled={t.id !== 'choose' && (d.hand || !d.current) ? true : undefined}
          title={`${t.says} (key ${t.key})`}
          onClick={() => (t.id === 'choose' || (!d.hand && d.current)) && take(t.id)}
        >
          <Sign of={t.id} />
          <span>{t.name}</span>
        </button>
      ))}
    </div>
  );
}

// Sign is a small drawing of what a tool makes.
function Sign({ of }: { of: Tool }) {
  const dots = (...at: [number, number][]) => at.map(([x, y]) => <circle cx={x} cy={y} r="2" fill="currentColor" stroke="none" />);
  const ring = Array.from({ length: 8 }, (_, i): [number, number] => [10 + 7 * Math.cos((i * Math.PI) / 4), 10 + 7 * Math.sin((i * Math.PI) / 4)]);
  const arc = Array.from({ length: 5 }, (_, i): [number, number] => [10 + 8 * Math.cos(Math.PI + (i * Math.PI) / 4), 14 + 8 * Math.sin(Math.PI + (i * Math.PI) / 4)]);
  return (
    <svg class="sign" viewBox="0 0 20 20" width="20" height="20" fill="none" stroke="currentColor" stroke-width="1.6" stroke-linejoin="round" aria-hidden="true">
      {of === 'choose' && <path d="M5 2.5v13l3.4-3.2 2.3 5 2.2-1-2.3-4.9h4.6z" />}
      {of === 'led' && <circle cx="10" cy="10" r="4" fill="currentColor" />}
      {of === 'row' && dots([3, 10], [10, 10], [17, 10])}
      {of === 'column' && dots([10, 3], [10, 10], [10, 17])}
      {of === 'grid' && dots([4, 4], [10, 4], [16, 4], [4, 10], [10, 10], [16, 10], [4, 16], [10, 16], [16, 16])}
      {of === 'ring' && dots(...ring)}
      {of === 'arc' && dots(...arc)}
      {of === 'line' && dots([3, 16], [6, 10], [9, 4], [14, 6], [18, 11])}
      {of === 'outline' && <path d="M3 5l11-2 3 6-4 8H5z" />}
      {of === 'path' && <path d="M3 15c4 0 3-9 8-9h5m-3-3 3 3-3 3" stroke-dasharray="none" />}
    </svg>
  );
}

// ToolOptions says how the tool is used, and holds what the next pattern is made of.
export function ToolOptions() {
  const t = tools.find((x) => x.id === tool.value)!;
  const o = options.value;
  const kind = t.id;
  const counts = kind === 'row' || kind === 'column' || kind === 'ring' || kind === 'arc' || kind === 'line';
  const number = (v: string, put: (n: number) => void) => {
    const n = Number(v);
    if (Number.isInteger(n) && n >= 1 && n <= 4096) put(n);
    return done;
  };
  return (
    <section class="tool-options" aria-label={`Tool ${t.name}`}>
      <div class="panel-head">
        <h2>{t.name}</h2>
        <button class="quiet" onClick={() => take('choose')} aria-label="Put the tool down" title="Put the tool down (Escape)">
          ✕
        </button>
      </div>
      <p class="tool-says">{t.says}</p>
      {kind === 'led' && <Exact name="Names begin with" value={o.word} set={(word) => (option({ word: word || 'led' }), done)} />}
      {kind === 'grid' && (
        <div class="exact-two">
          <Exact name="Columns" value={String(o.columns)} set={(v) => number(v, (columns) => option({ columns }))} />
          <Exact name="Rows" value={String(o.rows)} set={(v) => number(v, (rows) => option({ rows }))} />
        </div>
      )}
      {counts && (
        <div class="exact-two">
          <Pick name="By" value={o.by} options={[['count', 'count'], ['spacing', 'spacing']]} set={(v) => option({ by: v as 'count' | 'spacing' })} />
          {o.by === 'count' ? (
            <Exact name="Count" value={String(o.count)} set={(v) => number(v, (count) => option({ count }))} />
          ) : (
            <Exact name="Spacing" value={long(o.spacing)} set={(v) => ((millimetres(v) ?? 0) > 0 && option({ spacing: millimetres(v)! }), done)} />
          )}
        </div>
      )}
      {(kind === 'led' || kind === 'grid' || counts) && <PartPick value={part.value} set={(v) => option({ part: v })} />}
      {kind === 'grid' && <Exact name="Group by" value={o.gridGroup} offers={groupings(o.columns * o.rows, o.columns, o.rows)} set={(v) => (option({ gridGroup: v || '1 column' }), done)} />}
      {counts && <Exact name="Group by" value={o.group} offers={groupings(o.by === 'count' ? o.count : 0)} set={(v) => (option({ group: v || 'each' }), done)} />}
      {needs[kind] === Infinity && points.value.length > 0 && (
        <div class="row">
          <button class="strong" onClick={make}>
            End here
          </button>
          <button onClick={() => (points.value = points.value.slice(0, -1))}>One back</button>
        </div>
      )}
      {points.value.length === 0 && (
        <button onClick={inTheMiddle} title="Without pointing: then type where it is">
          Put it in the middle
        </button>
      )}
    </section>
  );
}

const done = Promise.resolve(null);

// inTheMiddle makes the tool's thing without a pointer; exact values come next.
export function inTheMiddle() {
  const v = view.peek();
  const t = tool.peek();
  if (!v) return;
  const [x, y] = middle().map((c) => Math.round(c)) as Point;
  const r = Math.max(5, Math.round(90 / v.scale));
  const at: Record<Exclude<Tool, 'choose'>, Point[]> = {
    led: [[x, y]],
    row: [[x - r, y], [x + r, y]],
    column: [[x, y - r], [x, y + r]],
    grid: [[x - r, y - r / 2], [x + r, y + r / 2]],
    ring: [[x, y], [x, y + r]],
    arc: [[x - r, y], [x + r, y], [x, y + r]],
    line: [[x - r, y], [x, y + r / 2], [x + r, y]],
    outline: [[x - r, y - r / 2], [x + r, y - r / 2], [x + r, y + r / 2], [x - r, y + r / 2]],
    path: [[x - r, y], [x + r, y]],
  };
  if (t === 'choose') return;
  points.value = at[t];
  make();
}
