// The rail: every place, one key each.

import { places } from '../places/registry';
import { go, place } from '../ui/state';

export function Rail() {
  return (
    <nav class="rail" aria-label="Places">
      {places.map((p, i) => (
        <a class="rail-place" href={`#${p.id}`} aria-current={place.value === p.id ? 'page' : undefined} title={`${p.name}: ${p.says} (key ${i + 1})`} onClick={(e) => (e.preventDefault(), go(p.id))}>
          <span class="rail-key" aria-hidden="true">
            {i + 1}
          </span>
          <span class="rail-name">{p.name}</span>
        </a>
      ))}
    </nav>
  );
}
