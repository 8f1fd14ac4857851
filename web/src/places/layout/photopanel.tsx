// The photo under the drawing: bring one, say where two or four of its points are, and find the bright spots of a lit lamp.

import { useSignal } from '@preact/signals';
import { useRef } from 'preact/hooks';
import { scaleAt } from '../../engine/homography';
import type { Diagnostic } from '../../engine/types';
import { millimetres } from '../../engine/units';
import { Trouble } from '../../ui/diagnostic';
import { store } from '../../ui/state';
import { placeLEDs } from './acts';
import type { Drawing } from './drawing';
import { Exact } from './exact';
import { PartPick } from './pattern';
import { apart, atLeast, bring, bringLit, enter, file, hidden, lit, look, looking, lookProblems, marking, marks, photo, placed, sizes, spotPoints, spots, spotsChosen } from './photo';
import { option, options, part } from './state';

export function PhotoPanel({ d }: { d: Drawing }) {
  const p = photo.value;
  if (d.hand) return <p>The photo lies under {d.on}, on which this lamp is drawn.</p>;
  const size = p ? sizes.value[p.file] : undefined;
  return (
    <section class="photo" aria-label="Photo">
      <div class="panel-head">
        <h2>Photo</h2>
        {p && (
          <button aria-pressed={!hidden.value} onClick={() => (hidden.value = !hidden.value)}>
            {hidden.value ? 'Hidden' : 'Shown'}
          </button>
        )}
      </div>
      {!p && <p>Lay a photo of the lamp's face under the drawing: square on, from as far away as the lens allows. JPEG or PNG.</p>}
      {p && size && size.width === 0 && <p class="bad">The picture {p.file} is not beside the job file, or cannot be read. Bring it again.</p>}
      <div class="row">
        <PictureButton strong={!p} says={p ? 'Another photo' : 'Choose a photo'} take={(f) => void bring(f)} />
        {p && (
          <button class="quiet" onClick={() => void store.do('erase', { paths: [['lamps', d.on, 'photo']] })}>
            Take it away
          </button>
        )}
      </div>
      {!p && <p class="faint">Or drop one on the sheet.</p>}
      {p && (
        <>
          <label class="slide">
            <span>Strength</span>
            <input type="range" min="0.1" max="1" step="0.05" value={options.value.opacity} onInput={(e) => option({ opacity: e.currentTarget.valueAsNumber })} />
          </label>
          <Marks />
          <Spots d={d} />
        </>
      )}
    </section>
  );
}

function PictureButton({ says, take, strong }: { says: string; take: (f: File) => void; strong?: boolean }) {
  const input = useRef<HTMLInputElement>(null);
  return (
    <>
      <input
        ref={input}
        class="visually-hidden"
        type="file"
        accept="image/jpeg,image/png"
        tabIndex={-1}
        aria-label={says}
        onChange={(e) => {
          const f = e.currentTarget.files?.[0];
          if (f) take(f);
          e.currentTarget.value = '';
        }}
      />
      <button class={strong ? 'strong' : ''} onClick={() => input.current!.click()}>
        {says}
      </button>
    </>
  );
}

// Marks are the known points: clicked in the picture, with their places typed, or the distance between the first two.
function Marks() {
  const list = marks.value;
  const problems = useSignal<Diagnostic[]>([]);
  const distance = useSignal('');
  const way = useSignal<'level' | 'upright' | 'as in the picture'>('level');
  const put = async (next: typeof list) => {
    problems.value = (await enter(next)) ?? [];
    return null;
  };
  const size = photo.value && sizes.value[photo.value.file];
  const map = placed.value;
  const open = list.filter((m) => millimetres(m.x) === null || millimetres(m.y) === null).length;
  return (
    <>
      <p class={map ? 'good' : ''}>
        {map && size
          ? `To scale by ${photo.value!.marks.length} points: ${Number(scaleAt(map, [size.width / 2, size.height / 2]).toPrecision(3))} mm a pixel in the middle.`
          : marking.value
            ? `Click point ${list.length + 1} in the picture: one that you can measure, such as a corner of the lens.`
            : open > 0
              ? 'Now say how far apart they are, or where each is.'
              : list.length === 3
                ? 'Three points fix nothing. Mark a fourth, or take one away.'
                : 'Not to scale yet. Mark two points whose distance you can measure on the lamp.'}
      </p>
    <details class="known" open={!map || marking.value || open > 0 || problems.value.length > 0 || undefined}>
      <summary>
        <h3>Known points</h3>
      </summary>
      {list.length === 2 && open > 0 && (
        <form
          class="inline-form"
          onSubmit={(e) => {
            e.preventDefault();
            const mm = millimetres(distance.value);
            if (mm && mm > 0) void put(apart(mm, way.value));
          }}
        >
          <label>
            From 1 to 2
            <input value={distance.value} placeholder="e.g. 180 mm" onInput={(e) => (distance.value = e.currentTarget.value)} />
          </label>
          <label>
            The line is
            <select value={way.value} onChange={(e) => (way.value = e.currentTarget.value as 'level')}>
              <option>level</option>
              <option>upright</option>
              <option>as in the picture</option>
            </select>
          </label>
          <button class="strong">Set the scale</button>
        </form>
      )}
      <ol class="marks">
        {list.map((m, i) => (
          <li key={i}>
            <b>{i + 1}</b>
            <Exact name="x" label={`Point ${i + 1} x`} value={m.x} hint="0 mm" set={(x) => put(list.map((k, n) => (n === i ? { ...k, x } : k)))} narrow />
            <Exact name="y" label={`Point ${i + 1} y`} value={m.y} hint="0 mm" set={(y) => put(list.map((k, n) => (n === i ? { ...k, y } : k)))} narrow />
            <button class="quiet" aria-label={`Take point ${i + 1} away`} title="Take it away" onClick={() => void put(list.filter((_, n) => n !== i))}>
              ✕
            </button>
          </li>
        ))}
      </ol>
      {problems.value.map((x) => (
        <Trouble d={x} where={false} />
      ))}
      {list.length < 4 && (
        <button class={!map && !marking.value && open === 0 ? 'strong' : ''} aria-pressed={marking.value} onClick={() => (marking.value = !marking.value)}>
          {marking.value ? 'Click in the picture…' : list.length < 2 ? 'Mark a point' : 'Mark two more, for perspective'}
        </button>
      )}
    </details>
    </>
  );
}

// Spots are offered as LEDs: all, or those that are chosen.
function Spots({ d }: { d: Drawing }) {
  const found = spotPoints.value;
  const free = found.filter((s) => !s.taken);
  const picked = free.filter((s) => spotsChosen.value.has(found.indexOf(s)));
  const waiting = useRef(0);
  const take = async (list: typeof found) => {
    await placeLEDs(list.map((s) => s.at));
    spotsChosen.value = new Set();
  };
  return (
    <>
      <h3>Bright spots</h3>
      <p class="faint">In a photo of the lit lamp, taken in the dark, every LED is a bright spot.</p>
      <div class="row">
        <PictureButton says={lit.value ? 'Another lit photo' : 'Lit photo from the same place'} take={(f) => void bringLit(f)} />
        {lit.value && (
          <button class="quiet" onClick={() => ((lit.value = null), (spots.value = null))}>
            Back to the first
          </button>
        )}
      </div>
      <label class="slide">
        <span>At least {Math.round(atLeast.value * 100)} % as bright as the brightest</span>
        <input
          type="range"
          min="0.1"
          max="0.98"
          step="0.02"
          value={atLeast.value}
          onInput={(e) => {
            atLeast.value = e.currentTarget.valueAsNumber;
            clearTimeout(waiting.current);
            waiting.current = window.setTimeout(() => spots.value && void look(), 150);
          }}
        />
      </label>
      <button aria-disabled={looking.value} onClick={() => void look()} class={placed.value && d.lamp.leds.length === 0 && !spots.value ? 'strong' : ''}>
        {looking.value ? 'Looking…' : spots.value ? 'Look again' : 'Find bright spots'}
      </button>
      {lookProblems.value.map((x) => (
        <Trouble d={x} where={false} />
      ))}
      {spots.value && spots.value.file === file.value && (
        <div class="spots-found" role="status">
          <p>
            <b>{found.length}</b> found{found.length > free.length && `, ${found.length - free.length} of them have an LED already`}.{' '}
            {!placed.value && <span class="warn">Set the scale first: they are not in their places yet.</span>}
            {found.length === 0 && 'Make it less bright, or take a darker picture.'}
          </p>
          {free.length > 0 && (
            <>
              <div class="exact-two">
                <Exact name="Names begin with" value={options.value.word} set={(word) => (option({ word: word || 'led' }), Promise.resolve(null))} />
                <PartPick value={part.value} set={(v) => option({ part: v })} />
              </div>
              <div class="row">
                <button class="strong" aria-disabled={!placed.value} onClick={() => placed.value && void take(picked.length > 0 ? picked : free)}>
                  {picked.length > 0 ? `Take the ${picked.length} chosen` : `Take all ${free.length}`}
                </button>
              </div>
              <p class="faint">Click a ring, or drag a rectangle, for some of them.</p>
            </>
          )}
        </div>
      )}
    </>
  );
}
