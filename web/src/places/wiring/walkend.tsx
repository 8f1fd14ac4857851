// The end of a walk: what differs from what the job says, what is still unknown, and the one command that enters it.

import { useState } from 'preact/hooks';
import { plain } from '../../engine/api';
import { store } from '../../ui/state';
import { many } from '../../ui/words';
import { runs, type Wiring } from './map';
import { enterWalk } from './state';
import { words, type Result, type Walk } from './walk';

interface Props {
  w: Wiring;
  walk: Walk;
  r: Result;
  goTo: (output: number) => void;
  back: () => void;
  entered: () => void;
  drop: () => void;
}

export function WalkEnd({ w, walk, r, goTo, back, entered, drop }: Props) {
  const [off, take] = useState(false);
  const open = r.open.filter((o) => w.on[o - 1] !== null);
  const moved = r.differs.filter((d) => typeof d.seen === 'object');
  const changes = moved.length > 0 || (off && r.nowhere.length > 0);
  const enter = async () => {
    const outputs = { ...r.outputs };
    if (off) for (const name of r.nowhere) outputs[name] = 0;
    if (await enterWalk(w, outputs)) return; // why not is told; the notes stay
    drop();
    store.tell({ problems: [plain(`the walk of ${w.module.name} is entered; write its program into it again before it leaves the bench`, '')], good: true });
    entered();
  };
  return (
    <div class="walk" role="status">
      <h2>{changes ? `${many(moved.length, 'output differs', 'outputs differ')} from the job` : 'The lamp is wired as the job says'}</h2>
      {r.differs.length > 0 && (
        <ul class="walk-list" aria-label="What differs">
          {r.differs.map((d) => (
            <li>
              <b>{d.output}</b> {words(d.job)} → <b>{words(d.seen)}</b>
            </li>
          ))}
        </ul>
      )}
      {r.more.length > 0 && <p class="caution">▲ More than one group lit on {runs(r.more)}: look for a bridge or two wires on one joint there. The job stays as it is at {r.more.length === 1 ? 'this output' : 'these outputs'}.</p>}
      {r.nowhere.length > 0 && (
        <>
          <p class="caution">▲ Lit nowhere: {r.nowhere.join(', ')}. Look for a broken wire or joint there, then walk again.</p>
          <label class="tick">
            <input type="checkbox" checked={off} onChange={(e) => take(e.currentTarget.checked)} />
            Take {r.nowhere.length === 1 ? 'it' : 'them'} off in the job
          </label>
        </>
      )}
      {r.displaced.length > 0 && !(off && r.nowhere.length > 0) && <p>Not found, and another lit in its place, so it will hang nowhere: {r.displaced.join(', ')}.</p>}
      {open.length > 0 && (
        <p>
          Not seen yet: {runs(open)}. There the job stays as it is. <button class="link" onClick={() => goTo(r.open[0]!)}>Go on at output {r.open[0]}</button>
        </p>
      )}
      <div class="row">
        {changes ? (
          <button class="strong large" onClick={() => void enter()}>
            Enter it into the job
          </button>
        ) : (
          <button class="strong large" onClick={() => (drop(), entered())}>
            Done
          </button>
        )}
        {walk.notes.length > 0 && (
          <button class="large" onClick={back} title="Backspace">
            Step back
          </button>
        )}
        <button class="quiet" onClick={drop}>
          Drop the notes
        </button>
      </div>
    </div>
  );
}
