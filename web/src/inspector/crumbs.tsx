// Where one is in the document, and the way back up.

import { at, entry, type Path } from '../engine/tree';
import { form, job, path } from '../ui/state';

export function Crumbs({ path: p }: { path: Path }) {
  const steps = steppable(p);
  return (
    <nav class="crumbs" aria-label="Where in the document">
      {steps.map((n, i) => (
        <>
          {i > 0 && (
            <span class="faint" aria-hidden="true">
              ›
            </span>
          )}
          <button class="crumb" aria-current={i === steps.length - 1 ? 'location' : undefined} onClick={() => (path.value = p.slice(0, n))}>
            {n === 0 ? 'document' : spoken(p, n)}
          </button>
        </>
      ))}
    </nav>
  );
}

// steppable gives the lengths of the path that are places of their own: {sweep: …} and {turn-lh: …} are one with their list place.
function steppable(p: Path): number[] {
  const f = form.value!;
  const tree = job.value!.tree;
  const out: number[] = [];
  for (let n = 0; n <= p.length; n++) {
    const parent = n > 0 ? f.at(tree, p.slice(0, n - 1)) : null;
    if (parent && f.kind(parent) === 'one') {
      out[out.length - 1] = n;
      continue;
    }
    out.push(n);
  }
  return out;
}

function spoken(p: Path, n: number): string {
  const step = p[n - 1]!;
  if (!/^\d+$/.test(step)) {
    const before = p[n - 2];
    return before !== undefined && /^\d+$/.test(before) ? `${Number(before) + 1} ${step}` : step;
  }
  const one = entry(at(job.value!.tree, p.slice(0, n)));
  return one ? `${Number(step) + 1} ${one[0]}` : String(Number(step) + 1);
}
