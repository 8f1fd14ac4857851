// What the field that has the focus is for; it is shown in one place, so that nothing jumps.

import { signal } from '@preact/signals';

export const help = signal<{ name: string; says: string } | null>(null);
