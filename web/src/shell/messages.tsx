// Messages: what could not be done and why, or what is done. They stay until closed; only good news goes by itself.

import { useEffect } from 'preact/hooks';
import { Trouble } from '../ui/diagnostic';
import { dismiss, notes, type Note } from '../ui/state';
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
