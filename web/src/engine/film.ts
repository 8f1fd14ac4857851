// A film: the level of every group at every step, as the server computed it.

import { post } from './api';
import type { Course, FilmAnswer } from './types';

export interface Film {
  stepMs: number;
  frames: number;
  groups: number; // of all lamps together
  first: Map<string, number>; // a lamp's first group in a frame
  lamps: { name: string; groups: number }[];
  levels: Uint8Array; // frames × groups, 0..255
  owners: Uint8Array | null; // as levels: 0 is nobody, n the n-th of layers, 255 the safe program
  layers?: string[];
  course?: Course; // of a script
}

export type FilmOrder = { routine: string } | { script: string; seed: number; owners?: boolean };

export async function fetchFilm(revision: string, order: FilmOrder): Promise<Film> {
  return film(await post<FilmAnswer>('/api/film', { revision, ...order }));
}

export function film(a: FilmAnswer): Film {
  const first = new Map<string, number>();
  let groups = 0;
  for (const l of a.lamps) {
    first.set(l.name, groups);
    groups += l.groups;
  }
  const levels = bytes(a.levels);
  const frames = groups > 0 ? Math.min(a.frames, Math.floor(levels.length / groups)) : 0;
  return { stepMs: a.stepMs, frames, groups, first, lamps: a.lamps, levels, owners: a.owners ? bytes(a.owners) : null, layers: a.layers, course: a.script };
}

export function bytes(base64: string): Uint8Array {
  const text = atob(base64);
  const out = new Uint8Array(text.length);
  for (let i = 0; i < text.length; i++) out[i] = text.charCodeAt(i);
  return out;
}

export const lengthMs = (f: Film) => f.frames * f.stepMs;

// frameAt gives the levels of a moment; the array is a view, not a copy.
export function frameAt(f: Film, ms: number): Uint8Array {
  const n = Math.max(0, Math.min(f.frames - 1, Math.floor(ms / f.stepMs)));
  return f.levels.subarray(n * f.groups, (n + 1) * f.groups);
}

// ownersAt gives who holds each group at a moment, null when the film does not tell.
export function ownersAt(f: Film, ms: number): Uint8Array | null {
  if (!f.owners) return null;
  const n = Math.max(0, Math.min(f.frames - 1, Math.floor(ms / f.stepMs)));
  return f.owners.subarray(n * f.groups, (n + 1) * f.groups);
}

// lightOf is the linear light, 0..1, of a level: CIE 1976 L* = level × 100/255, CIE 15.
export const lightOf = Float32Array.from({ length: 256 }, (_, level) => {
  const l = (level * 100) / 255;
  return l > 8 ? ((l + 16) / 116) ** 3 : (l * 27) / 24389;
});
