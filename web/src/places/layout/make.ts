// What the tool's points become, once there are enough of them or the line is ended.

import { placeLEDs, placeLine, placePattern } from './acts';
import { bodyOf, needs, type Drawn } from './shapes';
import { options, points, take, tool } from './state';

// make makes what the points of the tool say; a tool that draws patterns gives way to choosing, so that handles are at hand.
export function make() {
  const t = tool.peek();
  const list = [...points.peek()];
  points.value = [];
  if (t === 'led') return void placeLEDs(list);
  if (t === 'choose') return;
  if (t === 'outline' || t === 'path') {
    if (list.length < (t === 'outline' ? 3 : 2)) return;
    take('choose');
    return void placeLine(t, list);
  }
  const kind: Drawn = t;
  const body = bodyOf(kind, list, options.peek());
  if (!body) return;
  take('choose');
  void placePattern(kind, body);
}

// finish ends a line of several points.
export function finish() {
  if (needs[tool.peek()] === Infinity) make();
}

export const back = () => (points.value = points.peek().slice(0, -1));
