// The status line: saved or not, what stands in the way, memory that runs short, and whether the program answers.

import { counts, job, panel, shown, state, store } from '../ui/state';
import { tally } from '../ui/words';
import { flip } from './top';

const scarce = 0.8; // share of memory from which on it is shown

export function Status() {
  const j = job.value!;
  const c = counts.value;
  const short = (shown.value?.modules ?? [])
    .map((m) => ({ name: m.name, share: Math.max(m.bytes / m.mostBytes || 0, m.fades / m.mostFades || 0) }))
    .filter((m) => m.share > scarce)
    .sort((a, b) => b.share - a.share);
  return (
    <footer class="status">
      <Saved />
      <span class="status-path" title={j.path}>
        {j.path.split(/[\\/]/).pop()}
      </span>
      {short.length > 0 && (
        <span class="status-memory">
          Memory of {short[0]!.name}: {Math.round(short[0]!.share * 100)} %{short.length > 1 && ` and ${short.length - 1} more`}
        </span>
      )}
      <span class="status-fill" />
      {j.computed === false && <span class="faint">Checking…</span>}
      <button class={`status-problems ${c.errors ? 'stop-work' : c.cautions ? 'caution' : ''}`} aria-pressed={panel.value === 'problems'} onClick={() => flip('problems')} title="Problems and findings (key P)">
        {tally(c)}
      </button>
    </footer>
  );
}

function Saved() {
  const j = job.value!;
  const s = state.value;
  if (s.line === 'lost') return <span class="saved bad">✕ No answer from the program</span>;
  if (s.waiting > 0) return <span class="saved">◌ Saving…</span>;
  if (j.saved)
    return (
      <span class="saved good" role="status">
        ✓ Saved
      </span>
    );
  return (
    <span class="saved bad" role="alert">
      ✕ Not saved{j.save ? `: ${j.save.text}` : ''}
      <button class="quiet" onClick={() => void store.save()} title={j.save?.next ?? 'Save again (Ctrl+S)'}>
        Save again
      </button>
    </span>
  );
}
