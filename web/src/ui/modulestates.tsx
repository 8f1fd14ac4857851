// How the modules are, where they do not simply run.

import { bench, benchOpen, troubled } from './bench';

export function Modules() {
  const all = bench.value?.modules ?? [];
  const odd = troubled.value;
  let says = `${all.length} ${all.length === 1 ? 'module runs' : 'modules run'}`;
  if (!benchOpen.value) says = 'The bench does not answer';
  else if (bench.value?.problems?.length && !bench.value.revision) says = 'No module runs: something stops the job';
  else if (!bench.value?.revision) says = 'The modules are being made ready';
  else if (all.length === 0) says = 'No module yet';
  else if (odd.length > 0) {
    const by = new Map<string, string[]>();
    for (const m of odd) by.set(m.says!, [...(by.get(m.says!) ?? []), m.name]);
    says = [...by].map(([what, names]) => (names.length === all.length && names.length > 1 ? `All modules: each ${what}` : `${names.join(', ')} ${names.length > 1 ? `(${names.length}): each ` : ''}${what}`)).join('. ');
  }
  return (
    <p class={`modules-state ${odd.length > 0 ? '' : 'faint'}`} role="status">
      {says}.
    </p>
  );
}
