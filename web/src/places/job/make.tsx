// Making the kit: one press, one download.

import { useSignal } from '@preact/signals';
import { plain, told } from '../../engine/api';
import { download } from '../../engine/store';
import type { Diagnostic } from '../../engine/types';
import { Trouble } from '../../ui/diagnostic';
import { counts, job, store } from '../../ui/state';

export const made = (name: string) => store.tell({ problems: [plain(`${name} is in the folder for downloads`, '')], good: true });

export function Make() {
  const busy = useSignal(false);
  const problems = useSignal<Diagnostic[]>([]);
  const j = job.value!;
  const stopped = counts.value.errors > 0;
  const run = async () => {
    if (busy.peek() || stopped) return;
    busy.value = true;
    try {
      await download('/api/make', {}, `kit-${j.revision}.zip`);
      problems.value = [];
      made('the kit');
    } catch (error) {
      problems.value = told(error);
    }
    busy.value = false;
  };
  return (
    <div class="make">
      <button class="strong large" aria-disabled={stopped || busy.value} onClick={run}>
        {busy.value ? 'Making…' : 'Make the kit'}
      </button>
      <p class="faint">
        {stopped
          ? 'It can be made when nothing stops it any more.'
          : j.modules.length === 0
            ? 'There are no modules yet, so there is nothing to program.'
            : `One ZIP with the programs of all ${j.modules.length} modules, their listings and the walks.`}
      </p>
      {problems.value.map((d) => (
        <Trouble d={d} />
      ))}
    </div>
  );
}
