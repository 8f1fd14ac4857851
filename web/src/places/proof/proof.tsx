// Proof: the program that ships, on a simulated processor, against what the job promises; and every single fault of the car.

import { useEffect } from 'preact/hooks';
import { offer } from '../../engine/actions';
import { Trouble } from '../../ui/diagnostic';
import { counts, job, shown, state } from '../../ui/state';
import { FaultsFound } from './faults';
import { sentence } from '../../ui/words';
import { Press } from './press';
import { Running } from './running';
import { Differing, Played } from './stage';
import { begin, difference, here, last, look, onPicture, order, refused, result, running, view, type View } from './state';
import { Ended, Verdict } from './verdict';

const prove = () => {
  onPicture.value = null;
  difference.value = 0;
  void begin('/api/prove', order());
};
const tryFaults = (quick: boolean) => {
  onPicture.value = null;
  void begin('/api/faults', { quick });
};

export function ProofPlace() {
  const j = shown.value ?? job.value!;
  useEffect(() => void look(), [job.value!.revision, state.value.line]);
  useEffect(
    () =>
      offer(
        { id: 'prove', says: 'Prove the program on the simulated processor', more: 'run test', keys: ['Ctrl+Enter'], ready: () => can() && here.peek()?.here === true, run: () => ((view.value = 'program'), prove()) },
        { id: 'prove-faults', says: 'Try every single fault', more: 'fuse wire broken', ready: () => can(), run: () => ((view.value = 'faults'), tryFaults(here.peek()?.here !== true)) },
      ),
    [],
  );
  const v = view.value;
  const proof = result('proof');
  const shows = v === 'program' && !onPicture.value ? (proof?.proof?.shown ?? []) : [];
  const show = shows[Math.min(difference.value, shows.length - 1)];
  const lamp = show && j.lamps.find((l) => l.name === show.lamp && l.groups.length * 4 <= show.found.length * 3); // not one that has grown since
  return (
    <div class={`proof view-${v}`}>
      <Controls />
      <div class="proof-picture">{show && lamp ? <Differing lamp={lamp} show={show} /> : <Played job={j} />}</div>
      <div class="proof-side">{v === 'program' ? <Program /> : <SingleFaults />}</div>
    </div>
  );
}

const can = () => running.peek() === null && counts.peek().errors === 0 && state.peek().line !== 'lost';

function Controls() {
  const tabs: [View, string][] = [
    ['program', 'Program'],
    ['faults', 'Single faults'],
  ];
  return (
    <div class="controls">
      <div class="row" role="group" aria-label="What is proven">
        {tabs.map(([id, name]) => (
          <button class="tab" aria-pressed={view.value === id} onClick={() => ((view.value = id), (onPicture.value = null))}>
            {name}
          </button>
        ))}
      </div>
      <span class="status-fill" />
      <span class="faint proof-about">{view.value === 'program' ? 'The HEX that ships, word by word against the job' : 'One thing at a time is broken'}</span>
    </div>
  );
}

// Run is the one thing to do, and why it cannot be done.
function Run({ says, go, allowed = true }: { says: string; go: () => void; allowed?: boolean }) {
  const broken = counts.value.errors > 0;
  const ready = !broken && allowed && running.value === null && state.value.line !== 'lost';
  return (
    <>
      <button class="strong proof-run" aria-disabled={!ready} onClick={() => ready && go()}>
        {says}
      </button>
      {broken && <p class="faint">It can be proven when nothing stops the job any more.</p>}
    </>
  );
}

function CannotHere() {
  if (here.value?.here !== false) return null;
  return (
    <div class="proof-not-here" role="status">
      {here.value.problems.map((d) => (
        <>
          <p>
            <b>This machine cannot run the simulated processor.</b> {sentence(d.text)}
          </p>
          {d.next && (
            <p>
              Next: <code>{d.next}</code>
            </p>
          )}
        </>
      ))}
    </div>
  );
}

function Refused() {
  if (refused.value.length === 0) return null;
  return (
    <div role="alert">
      {refused.value.map((d) => (
        <Trouble d={d} where={false} />
      ))}
    </div>
  );
}

function Program() {
  const now = running.value;
  const latest = last.value.proof;
  const found = result('proof');
  return (
    <>
      <CannotHere />
      {now ? (
        <Running task={now} />
      ) : (
        <Press>
          <Run says="Prove it" go={prove} allowed={here.value?.here === true} />
        </Press>
      )}
      <Refused />
      {latest?.ended && <Ended task={latest} />}
      {found?.proof && <Verdict found={found} />}
      {!found && !now && latest === null && <p class="proof-none">Nothing has been proven yet since the program was started.</p>}
      <SaysNot />
    </>
  );
}

function SingleFaults() {
  const now = running.value;
  const latest = last.value.faults;
  const found = result('faults');
  return (
    <>
      <CannotHere />
      {now ? (
        <Running task={now} />
      ) : (
        <section aria-labelledby="proof-try">
          <h2 id="proof-try">Break one thing at a time</h2>
          <p>Each fuse, feed, tap, output, link end, side strap and module is broken alone. Under each the road signals are asked for, alone and in pairs.</p>
          <div class="row">
            <Run says="Try every single fault" go={() => tryFaults(here.value?.here === false)} />
            {here.value?.here && (
              <button aria-disabled={counts.value.errors > 0} onClick={() => counts.value.errors === 0 && tryFaults(true)} title="On the reference engine alone, not on the simulated processor">
                Quick, on the engine alone
              </button>
            )}
          </div>
          {here.value?.here === false && <p class="faint">On this machine they are tried on the engine alone.</p>}
        </section>
      )}
      <Refused />
      {latest?.ended && <Ended task={latest} />}
      {found?.faults && <FaultsFound found={found} />}
      <SaysNot />
    </>
  );
}

// SaysNot stands beside every proof: what it is no proof of.
function SaysNot() {
  return (
    <section class="proof-says-not" aria-labelledby="proof-says-not">
      <h2 id="proof-says-not">What this does not say</h2>
      <ul>
        <li>
          <b>Solder and wires.</b> That each group hangs on its output is shown by the walk, on the real lamp.
        </li>
        <li>
          <b>Supply and heat.</b> Currents, voltage drops, warm parts and the car's own wires are not simulated.
        </li>
        <li>
          <b>The law.</b> Colour, brightness and what may flash are for the rules, a measurement and the authority to judge.
        </li>
        <li>
          <b>Other presses.</b> It holds for what was pressed, and nothing else.
        </li>
      </ul>
    </section>
  );
}
