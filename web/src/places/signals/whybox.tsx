// Why a group is as it is: who holds it, and what of everybody above. The server tells, from the engines that run.

import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { post, told } from '../../engine/api';
import type { Why } from '../../engine/bench';
import type { Diagnostic } from '../../engine/types';
import { bench, benchOwners } from '../../ui/bench';
import { Trouble } from '../../ui/diagnostic';
import { shown } from '../../ui/state';
import type { Playing } from './script';
import { chosen, picked, seed } from './state';

const everyMs = 300; // at most so often it is asked anew

export function WhyBox({ live, script }: { live: boolean; script: Playing }) {
  const why = useSignal<Why | null>(null);
  const problems = useSignal<Diagnostic[]>([]);
  const at = picked.value;
  const film = script.film.value.film;
  useEffect(() => {
    if (!at) return void (why.value = null);
    let gone = false;
    let timer = 0;
    let again = false;
    const fetch = () => {
      if (timer) return void (again = true);
      timer = window.setTimeout(() => {
        timer = 0;
        if (again) fetch();
        again = false;
      }, everyMs);
      const asked = live ? post<Why>('/api/bench/why', at) : post<Why>('/api/why', { ...at, script: script.text, seed, atMs: Math.min(script.player.at, Math.max(0, script.player.lengthMs - 1)) });
      asked
        .then((w) => {
          if (gone) return;
          why.value = w;
          problems.value = [];
        })
        .catch((error) => !gone && (problems.value = told(error)));
    };
    const stops = live ? [bench.subscribe((b) => b?.revision && fetch()), benchOwners.subscribe(() => bench.peek()?.revision && fetch())] : film ? [script.player.each(fetch)] : [];
    return () => {
      gone = true;
      clearTimeout(timer);
      for (const stop of stops) stop();
    };
  }, [at?.lamp, at?.group, live, film]);

  if (!at) return <p class="why-none faint">Click a group on the car: this tells whose it is, and why.</p>;
  const w = why.value;
  const group = shown.value?.lamps.find((l) => l.name === at.lamp)?.groups[at.group];
  return (
    <section class="why" aria-label="Why">
      <div class="why-head">
        <h2>
          {at.lamp} · {group?.name ?? at.group + 1}
        </h2>
        {w && w.output > 0 && (
          <span class="faint">
            output {w.output} of {w.module}
          </span>
        )}
        <button class="quiet" onClick={() => (picked.value = null)} aria-label="Close this answer">
          ✕
        </button>
      </div>
      {problems.value.map((d) => (
        <Trouble d={d} where={false} />
      ))}
      {w && problems.value.length === 0 && (
        <>
          <p class="why-says" role="status">
            {w.says}
          </p>
          {w.layers.length > 1 && (
            <ol class="why-layers">
              {w.layers.map((l) => (
                <li class={l.owns ? 'owns' : ''}>
                  <button class="link" onClick={() => (chosen.value = l.name)}>
                    {l.name}
                  </button>{' '}
                  <span class={l.owns ? '' : 'faint'}>{l.owns ? `has it: ${l.says}` : l.says}</span>
                </li>
              ))}
            </ol>
          )}
        </>
      )}
    </section>
  );
}
