// The list of what changed against what was soldered, to be copied, kept as text, or printed for the bench.

import type { Job } from '../../engine/types';
import { asText, inWords, soldered, type Changed } from './changes';
import { copy, was as kept } from './state';

export function Changes({ job, list }: { job: Job; list: Changed[] }) {
  const was = kept.value;
  if (!was) return null;
  const text = asText(job, was, list);
  const save = () => {
    const link = document.createElement('a');
    link.href = URL.createObjectURL(new Blob([text], { type: 'text/plain;charset=utf-8' }));
    link.download = 'wiring-changes.txt';
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
  };
  return (
    <div class="wiring-changes">
      <div class="wiring-changes-head">
        <h2>Changed against what was soldered</h2>
        <p class="print-only">
          {job.title || 'Untitled job'}, {job.path.split(/[\\/]/).pop()}, revision {was.revision} → {job.revision}
        </p>
        <p class="faint">Soldered is the wiring as it was when this window opened the job. Nothing here touches the job.</p>
      </div>
      {list.length === 0 ? (
        <p class="wiring-changes-none">Nothing has changed.</p>
      ) : (
        list.map((c) => (
          <section class="wiring-changed" aria-label={`Changes of ${c.module}`}>
            <h3>
              {c.module} <span class="faint">lamp {c.lamp}, board {c.board}</span>
            </h3>
            <ul>
              {c.changes.map((x) => (
                <li>{inWords(x)}</li>
              ))}
            </ul>
          </section>
        ))
      )}
      <div class="row wiring-changes-tools">
        <button aria-disabled={list.length === 0} onClick={() => list.length > 0 && void copy(text, 'the list')}>
          Copy
        </button>
        <button aria-disabled={list.length === 0} onClick={() => list.length > 0 && save()}>
          Save as text
        </button>
        <button aria-disabled={list.length === 0} onClick={() => list.length > 0 && window.print()}>
          Print
        </button>
        <button class="quiet" aria-disabled={list.length === 0} onClick={() => list.length > 0 && (kept.value = soldered(job))} title="The list begins anew from the wiring as it is now">
          It is soldered so now
        </button>
      </div>
    </div>
  );
}
