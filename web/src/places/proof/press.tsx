// What is pressed: the tour of all inputs, a script that is typed, or one that lies beside the job.

import { many } from '../../ui/words';
import { Trouble } from '../../ui/diagnostic';
import { here, kept, onPicture, order, type, typedText, way } from './state';

export function Press({ children }: { children: preact.ComponentChildren }) {
  const w = way.value;
  const chosen = w.of === 'kept' ? kept.value.find((k) => k.name === w.name) : undefined;
  const text = w.of === 'tour' ? (here.value?.tour ?? '') : w.of === 'typed' ? typedText() : (chosen?.text ?? '');
  return (
    <section class="proof-press" aria-labelledby="proof-press">
      <h2 id="proof-press">What is pressed</h2>
      <div class="row">
        <label class="proof-way">
          <span class="visually-hidden">What is pressed</span>
          <select
            value={w.of === 'kept' ? `kept ${w.name}` : w.of}
            onChange={(e) => {
              const v = e.currentTarget.value;
              way.value = v === 'tour' ? { of: 'tour' } : v === 'typed' ? { of: 'typed' } : { of: 'kept', name: v.slice(5) };
            }}
          >
            <option value="tour">The tour: every input in its turn</option>
            <option value="typed">A script, typed here</option>
            {kept.value.map((k) => (
              <option value={`kept ${k.name}`}>
                {k.name}.script{k.problems.length > 0 ? ' (does not fit this job)' : ''}
              </option>
            ))}
          </select>
        </label>
        {children}
      </div>
      {w.of === 'typed' ? (
        <textarea
          class="proof-script"
          aria-label="Script"
          aria-describedby="proof-script-help"
          spellcheck={false}
          placeholder="e.g. stop@1s..3s turn-lh@2s..8s~90/min:50%"
          value={text}
          onInput={(e) => type(e.currentTarget.value)}
        />
      ) : (
        <p class="proof-words" tabIndex={0} role="region" aria-label="The script">
          {text ? text.split(/\s+/).map((word) => <code>{word}</code>) : 'Nothing can be pressed: the job has no input yet.'}
        </p>
      )}
      {chosen?.problems.map((d) => (
        <Trouble d={d} where={false} />
      ))}
      <div class="row proof-press-foot">
        <p class="faint" id="proof-script-help">
          {w.of === 'typed'
            ? 'input@from..to; ~90/min:50% flashes. The car as well: supply=9V@2s..3s, battery:MODULE=gone, tap:MODULE.in2=open.'
            : w.of === 'tour'
              ? 'Each input for three seconds, turn signals flashing, in the end all road signals at once.'
              : `${many(text.split(/\s+/).filter(Boolean).length, 'word')} from the file beside the job.`}
        </p>
        <button class="quiet" aria-disabled={!text} onClick={() => text && (onPicture.value = { script: order().script || text, says: 'What is pressed, as the job promises it.' })}>
          Play on the picture
        </button>
      </div>
    </section>
  );
}
