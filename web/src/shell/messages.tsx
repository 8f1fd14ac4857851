// Messages: what could not be done and why, or what is done. They stay until closed; only good news goes by itself.

import { useEffect } from 'preact/hooks';
import type { Loose } from '../engine/types';
import { Trouble } from '../ui/diagnostic';
import { dismiss, inspect, job, notes, store, type Note } from '../ui/state';
import { sentence } from '../ui/words';

const goodNewsMs = 6000;

export function Messages() {
  return (
    <div class="messages" role="log" aria-live="polite" aria-label="Messages">
      {notes.value.map((n) => (
        <One key={n.id} note={n} />
      ))}
    </div>
  );
}

function One({ note }: { note: Note }) {
  if (note.loose) return <Left note={note} {...note.loose} />;
  return <Told note={note} />;
}

const mostEnds = 6; // places that are told one by one

// Left tells which places still name what is gone, with the way to each; it goes when the step is taken back or nothing is wrong any more.
function Left({ note, ends, before, revision }: { note: Note; ends: Loose[]; before: string; revision: string }) {
  const now = job.value?.revision;
  const mended = now === before || (now !== revision && !job.value?.problems.some((d) => d.severity === 'stop-work'));
  useEffect(() => {
    if (mended) dismiss(note.id);
  }, [mended]);
  const names = [...new Set(ends.map((e) => e.name))];
  const more = ends.length - mostEnds;
  return (
    <div class="message message-left">
      <p>
        <span class="tag stop-work">Left over</span> <b>{names.slice(0, 3).join(', ')}</b>
        {names.length > 3 && ` and ${names.length - 3} more`} {names.length === 1 ? 'is' : 'are'} gone, and still named in:
      </p>
      <ul>
        {ends.slice(0, mostEnds).map((e) => (
          <li>
            <button class="link" onClick={() => inspect(e.path)}>
              {e.says}
            </button>
            {names.length > 1 && <span class="faint"> {e.name}</span>}
          </li>
        ))}
        {more > 0 && <li class="faint">and {more} more</li>}
      </ul>
      <div class="row">
        {now === revision && (
          <button onClick={() => void store.undo().then((bad) => !bad && dismiss(note.id))} title="Ctrl Z">
            Undo
          </button>
        )}
        <button class="quiet" onClick={() => dismiss(note.id)}>
          Close
        </button>
      </div>
    </div>
  );
}

function Told({ note }: { note: Note }) {
  useEffect(() => {
    if (!note.good) return;
    const timer = setTimeout(() => dismiss(note.id), goodNewsMs);
    return () => clearTimeout(timer);
  }, [note.id]);
  return (
    <div class="message">
      <div class="message-text">{note.good ? <p>{sentence(note.problems[0]!.text)}</p> : note.problems.slice(0, 3).map((d) => <Trouble d={d} />)}</div>
      <div class="row">
        {note.again && (
          <button
            onClick={() => {
              dismiss(note.id);
              note.again!();
            }}
          >
            Do it again
          </button>
        )}
        <button class="quiet" onClick={() => dismiss(note.id)}>
          Close
        </button>
      </div>
    </div>
  );
}
