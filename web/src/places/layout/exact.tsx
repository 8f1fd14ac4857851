// Exact values: a field that takes what is typed, with its unit, on Enter or when it is left; Escape brings back what stands there.

import { useSignal } from '@preact/signals';
import { useEffect, useId } from 'preact/hooks';
import type { Diagnostic } from '../../engine/types';
import { Trouble } from '../../ui/diagnostic';

interface Props {
  name: string;
  value: string;
  set: (text: string) => Promise<Diagnostic[] | null>;
  hint?: string; // shown while it is empty
  offers?: string[];
  label?: string; // for those who do not see where it stands
  narrow?: boolean;
  lines?: boolean; // several, one a line
}

export function Exact({ name, value, set, hint, offers, label, narrow, lines }: Props) {
  const id = useId();
  const typed = useSignal<string | null>(null);
  const refused = useSignal<Diagnostic[]>([]);
  useEffect(() => {
    typed.value = null;
    refused.value = [];
  }, [value]);
  const commit = async (text: string) => {
    if (text.trim() === value) {
      typed.value = null;
      refused.value = [];
      return;
    }
    const problems = await set(text.trim());
    refused.value = problems ?? [];
    if (!problems && typed.peek() === text) typed.value = null;
  };
  const common = {
    id,
    value: typed.value ?? value,
    placeholder: hint,
    autocomplete: 'off',
    spellcheck: false,
    'aria-label': label,
    'aria-invalid': refused.value.length > 0 || undefined,
    'aria-describedby': refused.value.length > 0 ? `${id}-t` : undefined,
    'data-draft': typed.value !== null || undefined,
    onInput: (e: Event) => (typed.value = (e.currentTarget as HTMLInputElement).value),
    onBlur: () => typed.peek() !== null && void commit(typed.peek()!),
    onKeyDown: (e: KeyboardEvent) => {
      if (e.key === 'Enter' && (!lines || e.ctrlKey)) {
        e.preventDefault();
        void commit((e.currentTarget as HTMLInputElement).value);
      } else if (e.key === 'Escape' && typed.peek() !== null) {
        e.preventDefault();
        e.stopPropagation();
        typed.value = null;
        refused.value = [];
      }
    },
  };
  return (
    <div class={`exact ${narrow ? 'narrow' : ''}`}>
      <label for={id}>{name}</label>
      {lines ? <textarea {...common} rows={Math.min(10, Math.max(3, value.split('\n').length))} wrap="off" /> : <input {...common} list={offers?.length ? `${id}-l` : undefined} />}
      {!lines && offers && offers.length > 0 && (
        <datalist id={`${id}-l`}>
          {offers.map((o) => (
            <option value={o} />
          ))}
        </datalist>
      )}
      {refused.value.length > 0 && (
        <div id={`${id}-t`} class="exact-refused" role="alert">
          {refused.value.slice(0, 2).map((d) => (
            <Trouble d={d} where={false} />
          ))}
        </div>
      )}
    </div>
  );
}

// Pair is a point: two fields beside one another.
export function Pair({ name, x, y, set }: { name: string; x: string; y: string; set: (x: string, y: string) => Promise<Diagnostic[] | null> }) {
  return (
    <div class="pair" role="group" aria-label={name}>
      <span class="pair-name">{name}</span>
      <Exact name="x" label={`${name} x`} value={x} set={(v) => set(v, y)} narrow />
      <Exact name="y" label={`${name} y`} value={y} set={(v) => set(x, v)} narrow />
    </div>
  );
}

// Pick is a choice from a list.
export function Pick({ name, value, options, set, hidden }: { name: string; value: string; options: [string, string][]; set: (v: string) => void; hidden?: boolean }) {
  const id = useId();
  const strange = !options.some(([v]) => v === value);
  return (
    <div class="exact">
      <label for={id} class={hidden ? 'visually-hidden' : undefined}>
        {name}
      </label>
      <select id={id} value={value} onChange={(e) => set(e.currentTarget.value)}>
        {strange && <option value={value}>{value || 'choose'}</option>}
        {options.map(([v, says]) => (
          <option value={v}>{says}</option>
        ))}
      </select>
    </div>
  );
}
