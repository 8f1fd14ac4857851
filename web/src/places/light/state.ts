// What the Light place remembers while the window is open.

import { signal } from '@preact/signals';
import { path } from '../../ui/state';

export const chosen = signal(''); // the routine
export const allowed = signal<string[]>([]); // routines that may flash as fast as they are written

// Whoever inspects a routine sees it here.
path.subscribe((p) => {
  if (p[0] === 'routines' && p[1]) chosen.value = p[1];
});
