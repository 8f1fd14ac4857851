// The problems panel: errors of the document first, then findings of the rules.

import { Trouble } from '../ui/diagnostic';
import { job } from '../ui/state';

export function Problems() {
  const j = job.value!;
  const none = j.problems.length + j.findings.length === 0;
  return (
    <div class="panel">
      {none && <p>{j.computed === false ? 'Still checking…' : 'Nothing stands in the way.'}</p>}
      {j.problems.length > 0 && (
        <section aria-label="In the document">
          <h2>In the document</h2>
          {j.problems.map((d) => (
            <Trouble d={d} />
          ))}
        </section>
      )}
      {j.findings.length > 0 && (
        <section aria-label="Found by the rules">
          <h2>Found by the rules</h2>
          {j.findings.map((d) => (
            <Trouble d={d} />
          ))}
        </section>
      )}
      {j.problems.length > 0 && j.lamps.length === 0 && <p class="faint">Pictures show the job as it was before it broke; findings come when the document can be read again.</p>}
    </div>
  );
}
