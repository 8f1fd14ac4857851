// One problem or finding: what, where, what was expected, why, and the next step.

import type { Diagnostic } from '../engine/types';
import { inspect, toText } from './state';
import { capital, labelOf, sentence } from './words';

export function Trouble({ d, where = true }: { d: Diagnostic; where?: boolean }) {
  const label = labelOf(d);
  const line = d.place?.line;
  return (
    <article class={`trouble ${d.severity}`}>
      <p class="trouble-what">
        <span class={`tag ${d.severity}`}>{capital(label)}</span> {sentence(d.text)}
      </p>
      {where && d.line && line && <Excerpt d={d} />}
      {d.figure && (
        <p class="trouble-figure">
          Found <b>{d.figure}</b>
          {d.limit && (
            <>
              , allowed <b>{d.limit}</b>
            </>
          )}
          {d.source && <span class="faint"> ({d.source})</span>}
        </p>
      )}
      {d.expected && <p>Expected: {d.expected}.</p>}
      {d.suggestion && (
        <p>
          Did you mean <b>{d.suggestion}</b>?
        </p>
      )}
      {d.why && <p class="faint">{sentence(d.why)}</p>}
      {d.next && <p class="trouble-next">Next: {d.next}.</p>}
      {d.notes?.map((n) => (
        <p class="faint">
          {sentence(n.text)}
          {n.place?.line ? ` Line ${n.place.line}.` : ''}
        </p>
      ))}
      {where && (line || d.place?.path) && (
        <p class="row">
          {line && (
            <button class="quiet" onClick={() => toText(line, d.place?.column)}>
              Show line {line}
            </button>
          )}
          {d.place?.path && (
            <button class="quiet" onClick={() => inspect(d.place!.path!)}>
              Inspect
            </button>
          )}
        </p>
      )}
    </article>
  );
}

// Excerpt is the line of the document with the place marked.
function Excerpt({ d }: { d: Diagnostic }) {
  const letters = [...d.line!];
  const from = Math.max(0, (d.place?.column ?? 1) - 1);
  const to = Math.min(letters.length, from + (d.place?.length ?? 0));
  const start = Math.max(0, from - 24); // what is far to the left says little
  return (
    <pre class="excerpt" tabIndex={0}>
      <span class="excerpt-line">{d.place!.line}</span>
      {start > 0 && '…'}
      {letters.slice(start, from).join('')}
      <mark>{letters.slice(from, Math.max(to, from + 1)).join('')}</mark>
      {letters.slice(Math.max(to, from + 1)).join('')}
    </pre>
  );
}
