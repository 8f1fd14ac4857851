// The catalogue of LED parts and boards, fetched once, with the names that the job itself gives to parts.

import { computed, signal } from '@preact/signals';
import { get } from '../engine/api';
import { at, isMapping } from '../engine/tree';
import type { Catalogue } from '../engine/types';
import { job } from './state';

export const catalogue = signal<Catalogue>({ parts: [], boards: [] });

let asked = false;

// wantCatalogue fetches it when nobody has yet.
export function wantCatalogue() {
  if (asked) return;
  asked = true;
  get<Catalogue>('/api/parts')
    .then((c) => (catalogue.value = c))
    .catch(() => (asked = false)); // the next place that wants it asks again
}

// parts lists the job's own names first, then the catalogue's.
export const parts = computed(() => {
  const own = at(job.value?.tree, ['parts']);
  const named = isMapping(own)
    ? Object.entries(own)
        .filter(([k, v]) => k !== 'note' && isMapping(v))
        .map(([name, v]) => ({ name, colour: String((v as { colour?: unknown }).colour ?? ''), about: "the job's own" }))
    : [];
  return [...named, ...catalogue.value.parts.filter((p) => !named.some((n) => n.name === p.name))];
});
