// What the bench says of a job that does not run, with the way to what stops it.

import type { Diagnostic } from '../engine/types';
import { Trouble } from './diagnostic';
import { panel } from './state';

export function Mend({ d }: { d: Diagnostic }) {
  return (
    <div class="broken" role="status">
      <Trouble d={d} where={false} />
      <button onClick={() => (panel.value = 'problems')}>Show what to mend</button>
    </div>
  );
}
