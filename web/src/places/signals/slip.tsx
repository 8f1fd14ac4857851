// A fault of the script at its place: the line with the part marked, and the way there.

import type { RefObject } from 'preact';
import type { Diagnostic } from '../../engine/types';
import { capital, sentence } from '../../ui/words';

export function Slip({ d, field }: { d: Diagnostic; field: RefObject<HTMLTextAreaElement | null> }) {
  const line = d.place?.line ?? 0;
  const letters = [...(d.line ?? '')];
  const from = Math.max(0, (d.place?.column ?? 1) - 1);
  const to = Math.min(letters.length, from + (d.place?.length ?? 1));
  return (
    <div class="slip" role="alert">
      <p class="trouble-what">
        {line > 0 && (
          <button type="button" class="link" onClick={() => select(field.current, line, from, to)}>
            Line {line}
          </button>
        )}{' '}
        {sentence(line > 0 ? d.text : capital(d.text))}
      </p>
      {line > 0 && d.line && (
        <pre class="excerpt">
          {from > 12 && '…'}
          {letters.slice(Math.max(0, from - 12), from).join('')}
          <mark>{letters.slice(from, Math.max(to, from + 1)).join('')}</mark>
          {letters.slice(Math.max(to, from + 1)).join('')}
        </pre>
      )}
      {d.expected && <p>Expected: {d.expected}.</p>}
      {d.suggestion && (
        <p>
          Did you mean <b>{d.suggestion}</b>?
        </p>
      )}
      {d.next && <p class="trouble-next">Next: {d.next}.</p>}
    </div>
  );
}

// select marks letters from..to of a line in the field; letters are whole characters, the field counts in UTF-16 units.
function select(field: HTMLTextAreaElement | null, line: number, from: number, to: number) {
  if (!field) return;
  const lines = field.value.split('\n');
  const before = lines.slice(0, line - 1).reduce((n, l) => n + l.length + 1, 0);
  const units = (n: number) => [...(lines[line - 1] ?? '')].slice(0, n).join('').length;
  field.focus();
  field.setSelectionRange(before + units(from), before + units(to));
}
