// What can be done with the place itself: its name, and to copy, move or remove it.

import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { Form } from '../engine/schema';
import { at, entry, isMapping, type Path } from '../engine/tree';
import type { Diagnostic } from '../engine/types';
import { Trouble } from '../ui/diagnostic';
import { job, path as chosen } from '../ui/state';
import { copyAt, freeName, moveAt, removeAt, renameAt } from './change';

export function Own({ form, path }: { form: Form; path: Path }) {
  const tree = job.value!.tree;
  const refused = useSignal<Diagnostic[]>([]);
  const typed = useSignal<string | null>(null);
  const busy = useRef(false);
  const where = path.join('.');
  useEffect(() => {
    typed.value = null;
    refused.value = [];
  }, [where]);
  if (at(tree, path) === undefined) return null;
  const parentPath = path.slice(0, -1);
  const parent = at(tree, parentPath);
  const step = path.at(-1)!;
  const schema = form.at(tree, parentPath);
  const kind = schema ? form.kind(schema) : 'group';
  const inList = Array.isArray(parent);
  const named = inList && kind === 'named'; // {turn-lh: {…}} in a list
  const name = named ? entry(at(tree, path))?.[0] : kind === 'map' ? step : undefined;
  const nth = Number(step);

  const tell = async (done: Promise<Diagnostic[] | null>, then?: () => void) => {
    const problems = await done;
    refused.value = problems ?? [];
    if (!problems) then?.();
  };
  const rename = (to: string) => {
    if (!name || to === name || to === '') return void (typed.value = null);
    if (busy.current) return; // Enter has sent it already; leaving the field would send it twice
    busy.current = true;
    const from = named ? [...path, name] : path;
    void tell(renameAt(from, to), () => {
      typed.value = null;
      if (!named) chosen.value = [...parentPath, to];
    }).finally(() => (busy.current = false));
  };
  const removable = inList || kind === 'map' || (kind === 'group' && path.length > 1 && !schema?.required?.includes(step));
  if (!removable && name === undefined) return null;
  return (
    <div class="own">
      {name !== undefined && (
        <div class="field">
          <label class="field-name" for="own-name">
            name
          </label>
          <div class="field-input">
            <input
              id="own-name"
              value={typed.value ?? name}
              onInput={(e) => (typed.value = e.currentTarget.value)}
              onBlur={() => typed.peek() !== null && rename(typed.peek()!.trim())}
              onKeyDown={(e) => {
                if (e.key === 'Enter') rename(e.currentTarget.value.trim());
                if (e.key === 'Escape') typed.value = null;
              }}
            />
          </div>
        </div>
      )}
      <div class="row own-row">
        {inList && (
          <>
            <button class="quiet" aria-disabled={nth === 0} onClick={() => nth > 0 && tell(moveAt(parentPath, nth, nth - 1), () => (chosen.value = [...parentPath, String(nth - 1)]))}>
              Earlier
            </button>
            <button
              class="quiet"
              aria-disabled={nth === parent.length - 1}
              onClick={() => nth < parent.length - 1 && tell(moveAt(parentPath, nth, nth + 1), () => (chosen.value = [...parentPath, String(nth + 1)]))}
            >
              Later
            </button>
          </>
        )}
        {inList && !named && (
          <button class="quiet" onClick={() => tell(copyAt(path), () => (chosen.value = [...parentPath, String(parent.length)]))}>
            Copy
          </button>
        )}
        {kind === 'map' && isMapping(parent) && (
          <button
            class="quiet"
            onClick={() => {
              const to = freeName(Object.keys(parent), `${step}-copy`);
              void tell(copyAt(path, to), () => (chosen.value = [...parentPath, to]));
            }}
          >
            Copy
          </button>
        )}
        {removable && (
          <button class="quiet" onClick={() => tell(removeAt(path), () => (chosen.value = parentPath))}>
            Remove
          </button>
        )}
      </div>
      {refused.value.map((d) => (
        <Trouble d={d} where={false} />
      ))}
    </div>
  );
}
