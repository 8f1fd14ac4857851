// The text pane: the document itself. What is typed is a draft, kept in this browser, until it is taken over as one step.

import { useSignal } from '@preact/signals';
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks';
import { read, write } from '../engine/settings';
import type { Diagnostic } from '../engine/types';
import { Trouble } from '../ui/diagnostic';
import { job, store, textLine } from '../ui/state';
import { many } from '../ui/words';

interface Draft {
  text: string;
  base: string; // the revision that it was begun on
}

const where = () => `lampwright.draft.${job.peek()?.path ?? ''}`;

export function TextPane() {
  const j = job.value!;
  const draft = useSignal<Draft | null>(read(where()));
  const refused = useSignal<Diagnostic[]>([]);
  const area = useRef<HTMLTextAreaElement>(null);
  const gutter = useRef<HTMLPreElement>(null);
  const text = draft.value?.text ?? j.text;
  const moved = draft.value !== null && draft.value.base !== j.revision;
  const lines = text.split('\n').length;
  const marks = new Map<number, string>();
  if (!draft.value) for (const d of [...j.findings, ...j.problems]) if (d.place?.line) marks.set(d.place.line, d.severity);

  const keep = (d: Draft | null) => {
    draft.value = d;
    write(where(), d);
  };
  const take = async () => {
    if (!draft.value) return;
    refused.value = (await store.text(draft.value.text, true)) ?? [];
    if (refused.value.length === 0) keep(null);
  };

  useLayoutEffect(() => {
    const to = textLine.value;
    if (!to || !area.current) return;
    let from = 0;
    const all = text.split('\n');
    for (let i = 0; i < to.line - 1 && i < all.length; i++) from += all[i]!.length + 1;
    const end = from + (all[to.line - 1]?.length ?? 0);
    const height = parseFloat(getComputedStyle(area.current).lineHeight);
    area.current.focus();
    area.current.setSelectionRange(from + to.column - 1, end);
    area.current.scrollTop = Math.max(0, (to.line - 1) * height - area.current.clientHeight / 3);
    const letter = parseFloat(getComputedStyle(area.current).fontSize) * 0.602; // of the fixed-width letters, near enough
    area.current.scrollLeft = Math.max(0, (to.column + 20) * letter - area.current.clientWidth);
    textLine.value = null;
  }, [textLine.value]);

  // The draft of another revision is shown to its writer, never merged silently.
  useEffect(() => {
    if (draft.value && draft.value.text === j.text) keep(null);
  }, [j.text]);

  return (
    <div class="text-pane">
      <div class="text-body">
        <pre ref={gutter} class="text-lines" aria-hidden="true">
          {Array.from({ length: lines }, (_, i) => (
            <span class={marks.get(i + 1) ?? ''}>{i + 1 + (marks.has(i + 1) ? ' !' : '') + '\n'}</span>
          ))}
        </pre>
        <textarea
          ref={area}
          aria-label="The document as text"
          spellcheck={false}
          data-draft={draft.value !== null || undefined}
          autocapitalize="off"
          wrap="off"
          value={text}
          onScroll={(e) => {
            if (gutter.current) gutter.current.scrollTop = e.currentTarget.scrollTop;
          }}
          onInput={(e) => keep({ text: e.currentTarget.value, base: draft.value?.base ?? j.revision })}
          onKeyDown={(e) => {
            if ((e.ctrlKey || e.metaKey) && (e.key === 'Enter' || e.key === 's')) {
              e.preventDefault();
              e.stopPropagation();
              void take();
            }
          }}
        />
      </div>
      {refused.value.length > 0 && (
        <div class="text-refused">
          {refused.value.slice(0, 4).map((d) => (
            <Trouble d={d} />
          ))}
        </div>
      )}
      <div class="text-foot">
        {moved && <p class="warn">The job has changed since this draft was begun. Taking it over replaces those changes; undo brings them back.</p>}
        <div class="row">
          <button class="strong" aria-disabled={!draft.value} onClick={take}>
            Take over <kbd>Ctrl ⏎</kbd>
          </button>
          {draft.value && (
            <button
              onClick={() => {
                keep(null);
                refused.value = [];
              }}
            >
              Drop the draft
            </button>
          )}
          <span class="faint">{draft.value ? 'Draft, not in the job yet; kept in this browser' : many(lines, 'line')}</span>
        </div>
      </div>
    </div>
  );
}
