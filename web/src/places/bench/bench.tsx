// Bench: the whole car, big and calm, with switches for a tablet beside the real lamp. The same engines as everywhere, in real time.

import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { offer } from '../../engine/actions';
import { standing, switchesOf } from '../../engine/bench';
import { CarPicture } from '../../picture/view';
import { bench, benchFilm, benchOpen, benchPlayer, turn, useBench } from '../../ui/bench';
import { FastLive } from '../../ui/fastlive';
import { Mend } from '../../ui/mend';
import { Modules } from '../../ui/modulestates';
import { job, shown } from '../../ui/state';
import { volts } from '../../ui/supply';
import { BigSwitch } from './bigswitch';
import { Lamp } from './lamp';
import { useAwake } from './awake';

const supplies = [9, 13.5, 16, 24]; // V: a weak battery, the engine running, the end of the usual range, a jump start

export function BenchPlace() {
  useBench();
  const host = useRef<HTMLDivElement>(null);
  const full = useSignal(false);
  const awake = useAwake();
  const j = shown.value ?? job.value!;
  const b = bench.value;
  const flip = () => void (document.fullscreenElement ? document.exitFullscreen() : host.current?.requestFullscreen?.())?.catch(() => {});
  useEffect(() => {
    const seen = () => (full.value = document.fullscreenElement !== null);
    document.addEventListener('fullscreenchange', seen);
    const stop = offer(
      { id: 'bench-full', says: 'Bench: fill the screen', keys: ['F'], run: flip },
      { id: 'bench-off', says: 'Bench: all switches off', run: () => void turn({ rest: true }) },
    );
    return () => {
      stop();
      document.removeEventListener('fullscreenchange', seen);
    };
  }, []);
  const can = document.fullscreenEnabled;
  return (
    <div ref={host} class="bench">
      <FastLive />
      {b?.problems?.map((d) => (
        <Mend d={d} />
      ))}
      <div class="bench-car">
        <CarPicture lamps={j.lamps} film={benchFilm.value} player={benchPlayer} busy={!benchOpen.value || !benchFilm.value} />
      </div>
      <div class="bench-board">
        <div class="bench-switches" role="group" aria-label="Switches">
          {switchesOf(j.inputs).map((s) => (
            <BigSwitch key={s.name} s={s} stands={standing(s, b)} />
          ))}
        </div>
        <div class="bench-supply" role="group" aria-label="Supply">
          {supplies.map((v) => (
            <button aria-pressed={b?.supply === v && !b.crank} onClick={() => void turn({ supply: v })}>
              {volts(v)}
            </button>
          ))}
          <button aria-pressed={b?.crank ?? false} onClick={() => void turn({ crank: true })} title="Start the engine: the supply dips for two seconds">
            Crank
          </button>
          <button aria-pressed={b ? !b.battery : false} onClick={() => void turn({ battery: !(b?.battery ?? true) })} title="No battery feed at any module">
            Battery gone
          </button>
          <button onClick={() => void turn({ rest: true })}>All off</button>
        </div>
        <div class="bench-foot">
          <Modules />
          <Lamp />
          <span class="faint bench-awake">{awake.value}</span>
          {can && (
            <button onClick={flip} title="Key F">
              {full.value ? 'Leave full screen' : 'Full screen'}
            </button>
          )}
        </div>
      </div>
    </div>
  );
}
