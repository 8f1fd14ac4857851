// An answer of the program that is asked for again whenever something has changed.

import { signal } from '@preact/signals';
import { useEffect, useMemo } from 'preact/hooks';
import { get } from '../engine/api';

// useAnswer asks the program again whenever something has changed; while that is '' it keeps what it has.
export function useAnswer<T>(url: string, when: unknown, empty: T): T {
  const out = useMemo(() => signal<T>(empty), []);
  useEffect(() => {
    if (when === '') return;
    let gone = false;
    get<T>(url)
      .then((v) => !gone && (out.value = v))
      .catch(() => {}); // the line of the workbench says when it does not answer
    return () => {
      gone = true;
    };
  }, [url, when]);
  return out.value;
}
