// The differences of a proof, one after another: when, which outputs, what was promised and what was found.

import { useEffect } from 'preact/hooks';
import { offer } from '../../engine/actions';
import { shown } from '../../ui/state';
import { difference, light } from './state';
import type { Show } from './types';
import { lasted, moment, value } from './words';

export function Differences({ all }: { all: Show[] }) {
  const n = Math.min(difference.value, all.length - 1);
  const show = all[n]!;
  const to = (k: number) => (difference.value = Math.max(0, Math.min(all.length - 1, k)));
  useEffect(
    () =>
      offer(
        { id: 'difference-next', says: 'Proof: next difference', keys: ['.'], run: () => to(difference.peek() + 1) },
        { id: 'difference-before', says: 'Proof: difference before', keys: [','], run: () => to(difference.peek() - 1) },
        { id: 'difference-light', says: 'Proof: change over between promised and found light', keys: ['F'], run: () => (light.value = light.peek() === 'found' ? 'promised' : 'found') },
      ),
    [all.length],
  );
  const lamp = shown.value?.lamps.find((l) => l.name === show.lamp);
  return (
    <section class="proof-differences" aria-labelledby="proof-differences">
      <div class="row">
        <h2 id="proof-differences">
          Difference {n + 1} of {all.length}
        </h2>
        <span class="status-fill" />
        <button aria-disabled={n === 0} onClick={() => to(n - 1)} title="Difference before (key ,)">
          ‹ Before
        </button>
        <button aria-disabled={n === all.length - 1} onClick={() => to(n + 1)} title="Next difference (key .)">
          Next ›
        </button>
      </div>
      <p aria-live="polite">
        At <b>{moment(show.fromMs)}</b> {lasted(show)}, module <b>{show.module}</b>, lamp {show.lamp}.
      </p>
      {show.outputs.length > 0 && (
        <div class="scroll-x" tabIndex={0} role="region" aria-label="Outputs that differ">
          <table class="table">
            <thead>
              <tr>
                <th scope="col" class="number">
                  Output
                </th>
                <th scope="col">Group</th>
                <th scope="col">Promised</th>
                <th scope="col">Found</th>
              </tr>
            </thead>
            <tbody>
              {show.outputs.map((o) => (
                <tr>
                  <th scope="row" class="number">
                    {o.output}
                  </th>
                  <td>{o.group < 0 ? <span class="faint">no group</span> : (lamp?.groups[o.group]?.name ?? `group ${o.group + 1}`)}</td>
                  <td>{value(o.promised)}</td>
                  <td class="bad">
                    <b>{value(o.found)}</b>
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      {show.others.map((text) => (
        <p class="proof-problem">{text}</p>
      ))}
    </section>
  );
}
