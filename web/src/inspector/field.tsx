// A field of the inspector: one value as it is written. It is taken over on Enter or when the field is left, as one step;
// emptying it takes the value out. Escape brings back what stands in the document.

import { useSignal } from '@preact/signals';
import { useEffect, useId, useRef } from 'preact/hooks';
import { example, fitting, shown, type Kind, type Schema } from '../engine/schema';
import { problemsAt, type Path } from '../engine/tree';
import type { Diagnostic, Value } from '../engine/types';
import { Trouble } from '../ui/diagnostic';
import { job } from '../ui/state';
import { uses } from '../ui/words';
import { setAt } from './change';
import { help } from './help';
import { OfferList, useOffers } from './offers';
import { suggestions } from './suggest';

interface Props {
  path: Path;
  name: string;
  schema: Schema;
  kind: Kind;
  value: Value | undefined;
  required?: boolean;
  focus?: boolean; // take the focus when it appears
}

export function Field({ path, name, schema, kind, value, required, focus }: Props) {
  const id = useId();
  const typed = useSignal<string | null>(null); // null: as in the document
  const refused = useSignal<Diagnostic[]>([]);
  const box = useRef<HTMLElement>(null);
  const there = shown(kind, value);
  const now = typed.value ?? there;
  const j = job.value!;
  const troubles = refused.value.length > 0 ? refused.value : problemsAt(j, path);
  const where = path.join('.');

  useEffect(() => {
    if (focus) box.current?.focus();
  }, [focus]);
  useEffect(() => {
    typed.value = null;
    refused.value = [];
  }, [where]);

  const commit = async (text: string) => {
    if (text === there) {
      typed.value = null;
      refused.value = [];
      return;
    }
    const problems = await setAt(path, fitting(kind, text));
    refused.value = problems ?? [];
    if (!problems && (typed.peek() === text || typed.peek() === null)) typed.value = null;
  };

  const several = kind === 'items';
  const named = kind === 'text' || several ? suggestions(j, path) : [];
  const offers = useOffers(`${id}-l`, named, several, (text) => (typed.value = text));
  const open = offers.names.value.length > 0;

  const leave = () => {
    offers.close();
    if (typed.peek() !== null) void commit(typed.peek()!);
  };

  const common = {
    id,
    ref: box as never,
    'aria-invalid': troubles.some((d) => d.severity === 'stop-work') || undefined,
    'aria-describedby': troubles.length > 0 ? `${id}-t` : undefined,
    'aria-required': required || undefined,
    'data-path': where,
    'data-draft': typed.value !== null || undefined,
    onFocus: () => (help.value = { name, says: schema.description ?? '' }),
  };
  const texts = {
    ...common,
    value: now,
    placeholder: hint(kind, schema),
    autocomplete: 'off',
    spellcheck: name === 'note',
    onInput: (e: Event) => {
      const box = e.currentTarget as HTMLInputElement;
      typed.value = box.value;
      if (named.length > 0) offers.look(box, false);
    },
    onBlur: (e: FocusEvent) => (e.relatedTarget as HTMLElement | null)?.id !== offers.id && leave(),
    onKeyDown: (e: KeyboardEvent) => {
      if (named.length > 0 && offers.key(e, e.currentTarget as HTMLInputElement)) return;
      if (e.key === 'Escape' && typed.peek() !== null) {
        typed.value = null;
        refused.value = [];
        e.stopPropagation();
        e.preventDefault();
      } else if (e.key === 'Enter' && (kind !== 'points' || e.ctrlKey)) {
        e.preventDefault();
        offers.close();
        void commit(now);
      }
    },
    ...(named.length > 0 && {
      'aria-haspopup': 'listbox' as const,
      'aria-autocomplete': 'list' as const,
      'aria-controls': open ? offers.id : undefined,
      'aria-activedescendant': open && offers.at.value >= 0 ? `${offers.id}-${offers.at.value}` : undefined,
      onClick: (e: MouseEvent) => offers.look(e.currentTarget as HTMLInputElement, true),
    }),
  };

  let input;
  const long = kind === 'points' || several || name === 'note' || there.length > 24; // not by what is typed: the field would be another under the hand
  if (kind === 'choice' || kind === 'truth') {
    const options = kind === 'truth' ? ['true', 'false'] : schema.enum!;
    const strange = there !== '' && !options.includes(there);
    input = (
      <select {...common} value={there} onChange={(e) => void commit(e.currentTarget.value)}>
        {(!required || there === '') && <option value="">{required ? 'choose' : 'not given'}</option>}
        {options.map((o) => (
          <option value={o}>{kind === 'truth' ? (o === 'true' ? 'yes' : 'no') : (uses[o] ?? o)}</option>
        ))}
        {strange && <option value={there}>{there}</option>}
      </select>
    );
  } else if (long) {
    const rows = kind === 'points' ? Math.max(2, now.split('\n').length) : Math.max(1, Math.ceil(now.length / 24));
    // A field of several lines may be no combobox (ARIA in HTML): it stays a text field that has a list.
    input = <textarea {...(texts as object)} rows={Math.min(8, rows)} wrap={kind === 'points' ? 'off' : 'soft'} />;
  } else {
    input = <input {...texts} {...(named.length > 0 && { role: 'combobox', 'aria-expanded': open })} />;
  }
  return (
    <div class={`field ${troubles.length > 0 ? 'has-trouble' : ''}`}>
      <label class="field-name" for={id}>
        {name}
        {required && <span class="faint"> needed</span>}
      </label>
      <div class="field-input">
        {input}
        {named.length > 0 && <OfferList offers={offers} box={box} says={`Names for ${name}`} left={leave} />}
      </div>
      {troubles.length > 0 && (
        <div id={`${id}-t`} class="field-troubles" role="alert">
          {troubles.slice(0, 3).map((d) => (
            <Trouble d={d} where={false} />
          ))}
        </div>
      )}
    </div>
  );
}

function hint(kind: Kind, schema: Schema): string {
  if (kind === 'points') return 'x, y in mm, one point a line';
  if (kind === 'items') return 'one, or several with commas';
  const like = example(schema);
  return like && `e.g. ${like}`;
}
