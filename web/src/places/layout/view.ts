// The sheet's view: millimetres of the lamp to dots of the page, and the grid and ruler that suit it.

import type { Point } from '../../engine/types';
import type { Map3 } from '../../engine/homography';
import { boxOf, type Box } from '../../picture/scene';

export interface View {
  scale: number; // dots a millimetre
  x: number; // dots, where the lamp's 0, 0 is
  y: number;
}

export const screen = (v: View, [x, y]: Point): Point => [v.x + x * v.scale, v.y - y * v.scale];
export const millimetre = (v: View, [x, y]: Point): Point => [(x - v.x) / v.scale, (v.y - y) / v.scale];
export const mapOfView = (v: View): Map3 => [v.scale, 0, v.x, 0, -v.scale, v.y, 0, 0, 1];

const most = 400; // dots a millimetre
const least = 0.05;

// fitted shows a box whole, with room around it.
export function fitted(box: Box, width: number, height: number, edge: { left: number; top: number; rest: number }): View {
  const w = Math.max(20, box.x1 - box.x0);
  const h = Math.max(20, box.y1 - box.y0);
  const roomX = Math.max(40, width - edge.left - 2 * edge.rest);
  const roomY = Math.max(40, height - edge.top - 2 * edge.rest);
  const scale = Math.min(most, Math.max(least, Math.min(roomX / w, roomY / h)));
  const middle: Point = [(box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2];
  return { scale, x: edge.left + (width - edge.left) / 2 - middle[0] * scale, y: edge.top + (height - edge.top) / 2 + middle[1] * scale };
}

// zoomed makes everything larger or smaller about a dot that stays.
export function zoomed(v: View, factor: number, [x, y]: Point): View {
  const scale = Math.min(most, Math.max(least, v.scale * factor));
  const f = scale / v.scale;
  return { scale, x: x - (x - v.x) * f, y: y - (y - v.y) * f };
}

// boundsOf is the box around everything of a drawing; an empty one has the size of a lamp.
export function boundsOf(points: Point[]): Box {
  return points.length > 0 ? boxOf(points) : { x0: 0, y0: 0, x1: 200, y1: 120 };
}

export interface Grid {
  says: string;
  mm: number; // 0: none
  inch: boolean;
}

export const grids: Grid[] = [
  { says: '0.1 mm', mm: 0.1, inch: false },
  { says: '0.5 mm', mm: 0.5, inch: false },
  { says: '1 mm', mm: 1, inch: false },
  { says: '2 mm', mm: 2, inch: false },
  { says: '5 mm', mm: 5, inch: false },
  { says: '10 mm', mm: 10, inch: false },
  { says: '1/32 in', mm: 25.4 / 32, inch: true },
  { says: '1/16 in', mm: 25.4 / 16, inch: true },
  { says: '1/8 in', mm: 25.4 / 8, inch: true },
  { says: '1/4 in', mm: 25.4 / 4, inch: true },
  { says: 'no grid', mm: 0, inch: false },
];

// ticks gives the steps of the ruler, mm: small lines, and those with a number.
export function ticks(scale: number, inch: boolean): { small: number; large: number } {
  const steps = inch ? [1 / 16, 1 / 8, 1 / 4, 1 / 2, 1, 2, 5, 10, 20, 50].map((s) => s * 25.4) : [0.1, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000];
  const large = steps.find((s) => s * scale >= 56) ?? steps.at(-1)!;
  const small = steps.find((s) => s * scale >= 6 && Number.isInteger(Number((large / s).toFixed(6)))) ?? large;
  return { small, large };
}

// inches writes millimetres as inches.
export const inches = (mm: number) => `${(mm / 25.4).toFixed(3)} in`;
