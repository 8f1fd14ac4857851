// What Wiring says while there is nothing to wire, with the way on.

import { at, isMapping } from '../../engine/tree';
import { drive } from '../../inspector/change';
import { go, job, panel } from '../../ui/state';
import { Unreadable } from '../../ui/unreadable';

const most = 8; // lamps that are offered a module each

export function Nothing() {
  const j = job.value!;
  const keys = (section: string) => {
    const v = at(j.tree, [section]);
    return isMapping(v) ? Object.keys(v).filter((k) => k !== 'note') : [];
  };
  const lamps = keys('lamps');
  const broken = keys('modules').length > 0;
  return (
    <div class="empty-place">
      <h2>{broken ? 'No module can be shown' : 'No module yet'}</h2>
      {j.tree === null ? (
        <Unreadable />
      ) : broken ? (
        <>
          <p>What is written of the modules or of their lamps cannot be understood. The problems say where, and what to do.</p>
          <button class="strong" onClick={() => (panel.value = 'problems')}>
            Show what to mend
          </button>
        </>
      ) : (
        <>
          <p>A module is the sequencer in a lamp: it says which board it is, which lamp it drives, and what hangs on each output.</p>
          {lamps.length === 0 ? (
            <>
              <p class="faint">Lay out a lamp first: a module needs one to drive.</p>
              <button class="strong" onClick={() => go('layout')}>
                Go to Layout
              </button>
            </>
          ) : (
            <div class="row">
              {lamps.slice(0, most).map((lamp, i) => (
                <button class={i === 0 ? 'strong' : ''} onClick={() => void drive(lamp)} title="With a board that has an output for every group; it can be changed later">
                  Give {lamp} a module
                </button>
              ))}
            </div>
          )}
        </>
      )}
    </div>
  );
}
