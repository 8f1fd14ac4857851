// Single faults: one thing at a time is broken, and what the lamps still show. Each loss plays on the picture.

import { useSignal } from '@preact/signals';
import { toText } from '../../ui/state';
import { capital, many, sentence } from '../../ui/words';
import { onPicture } from './state';
import type { Fault, Found, Loss } from './types';
import { rows, stands, tally, type Row } from './words';
import { Of } from './verdict';

export function FaultsFound({ found }: { found: Found }) {
  const f = found.faults!;
  const [healthy, ...faults] = f.all;
  const only = useSignal<'all' | Fault['stand']>('all');
  const n = tally(faults);
  const broken = n.broken + (healthy?.stand === 'broken' ? 1 : 0);
  const told = rows(f.all).filter((r) => r.faults[0]!.stand !== 'held' && (only.value === 'all' || r.faults[0]!.stand === only.value));
  told.sort((a, b) => Number(b.faults[0]!.stand === 'broken') - Number(a.faults[0]!.stand === 'broken'));
  const choices: [typeof only.value, string][] = [
    ['all', `All ${faults.length}`],
    ['broken', `${broken} broken`],
    ['weaker', `${n.weaker} weaker`],
    ['held', `${n.held} held`],
  ];
  return (
    <section class="proof-faults" aria-labelledby="proof-faults">
      <h2 id="proof-faults" class={`verdict ${f.held ? 'good' : 'bad'}`}>
        {f.held ? `✓ No single fault takes more than it may, of ${faults.length}.` : `✕ ${many(broken, 'fault takes', 'faults take')} more than it may.`}
      </h2>
      <Of task={found} more={`${many(f.scripts, 'script')} under each fault, ${f.quick ? 'on the engine alone' : `on the engine and in ${many(f.runs, 'run')} of the simulated processor`}`} />
      <div class="row" role="group" aria-label="Which faults are listed">
        {choices.map(([id, says]) => (
          <button class="chip" aria-pressed={only.value === id} onClick={() => (only.value = id)}>
            {says}
          </button>
        ))}
      </div>
      {only.value === 'held' ? (
        <Held all={faults.filter((x) => x.stand === 'held')} />
      ) : told.length === 0 ? (
        <p>{only.value === 'broken' ? 'None breaks a rule.' : 'None takes anything.'}</p>
      ) : (
        <ul class="proof-rows">
          {told.map((r) => (
            <One r={r} />
          ))}
        </ul>
      )}
      {f.assumed.map((text) => (
        <p class="faint">Assumed: {text}.</p>
      ))}
    </section>
  );
}

function One({ r }: { r: Row }) {
  const f = r.faults[0]!;
  const mends = [...new Set([f.mend, ...f.lost.map((l) => l.mend)].filter(Boolean))];
  return (
    <li>
      <div class="proof-fault">
        <span class={`tag ${f.stand === 'broken' ? 'stop-work' : 'caution'}`}>{stands[f.stand]}</span>
        <b>{capital(r.what)}</b>
        {f.place.line && (
          <button class="quiet" onClick={() => toText(f.place.line!, f.place.column)}>
            Line {f.place.line}
          </button>
        )}
      </div>
      <ul class="proof-losses">
        {r.lost.map((l) => (
          <li>
            <span class={l.breach ? 'bad' : ''}>{capital(l.says)}</span>
            <button class="quiet" onClick={() => play(r, l)} aria-label={`Play: ${r.what}: ${l.says}`}>
              Play
            </button>
          </li>
        ))}
      </ul>
      {f.problems.map((text) => (
        <p class="bad proof-problem">{text}</p>
      ))}
      {mends.map((text) => (
        <p>
          {f.stand === 'broken' ? 'Next' : 'Better'}: {sentence(text)}
        </p>
      ))}
    </li>
  );
}

const play = (r: Row, l: Loss) => (onPicture.value = { script: l.script, says: `${capital(r.what)}: ${l.says}.` });

function Held({ all }: { all: Fault[] }) {
  return (
    <ul class="proof-held">
      {all.map((f) => (
        <li>{capital(f.what)}</li>
      ))}
    </ul>
  );
}
