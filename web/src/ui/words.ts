// Words of diagnostics and counts, as every panel says them.

import type { Diagnostic } from '../engine/types';

export const labelOf = (d: Diagnostic) => (d.severity !== 'stop-work' ? d.severity : d.kind === 'document' ? 'error' : 'stop-work');

export const many = (n: number, one: string, more = one + 's') => `${n} ${n === 1 ? one : more}`;

export function tally(c: { errors: number; cautions: number; notes: number }): string {
  const parts = [];
  if (c.errors) parts.push(many(c.errors, 'stop'));
  if (c.cautions) parts.push(many(c.cautions, 'caution'));
  if (c.notes) parts.push(many(c.notes, 'note'));
  return parts.join(' · ') || 'No problems';
}

export const uses: Record<string, string> = { 'road-us': 'road, United States', 'road-un': 'road, UN regulations', 'show-only': 'show only, not for the road' };

export const capital = (s: string) => s.charAt(0).toUpperCase() + s.slice(1);

export const sentence = (s: string) => capital(s) + (/[.!?]$/.test(s) ? '' : '.');
