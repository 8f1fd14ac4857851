// Light: pick a routine, watch it on the car, move about in its time, and make and change its strokes.

import { useSignal } from '@preact/signals';
import { useEffect, useLayoutEffect, useMemo, useRef } from 'preact/hooks';
import { offer } from '../../engine/actions';
import { lengthMs } from '../../engine/film';
import { flashes, mostFlashes, slowdown } from '../../engine/flash';
import { Player } from '../../engine/player';
import { at } from '../../engine/tree';
import type { Picture } from '../../picture/picture';
import { CarPicture } from '../../picture/view';
import { useAnswer } from '../../ui/answer';
import { Trouble } from '../../ui/diagnostic';
import { form, go, job, path, set, settings, shown } from '../../ui/state';
import { Unreadable } from '../../ui/unreadable';
import type { Order, Play } from './asker';
import { titleOf } from './compare';
import { Controls } from './controls';
import { useLight, type Memory } from './film';
import { Flashing } from './flashing';
import { Handles } from './handles';
import { MemoryWord } from './memory';
import { travels } from './newstroke';
import { bodyOf, partsOf } from './region';
import { NewRoutine, RoutineForm } from './routineform';
import { allowed, chosen, draft, make, making, onMs, other, picks, showing, strokeAt } from './state';
import { StrokeForm } from './strokeform';
import { Timeline } from './timeline';

const leastRoundMs = 500; // a short routine rests at its end, so that a loop of it stays calm

export function LightPlace() {
  const j = shown.value ?? job.value!;
  const whole = job.value!;
  const names = j.routines.map((r) => r.name);
  const routine = names.includes(chosen.value) ? chosen.value : (names[0] ?? '');
  const info = j.routines.find((r) => r.name === routine);
  const way = showing.value;
  const with_ = other.value;

  const order: Order | null = routine && j.lamps.length > 0 ? { routine, ...(way === 'modules' ? { modules: true, onMs: onMs.value } : {}), ...(draft.value ? { edits: draft.value } : {}) } : null;
  const second: Order | null = !order || !with_
    ? null
    : 'modules' in with_
      ? { routine, ...(way === 'written' ? { modules: true, onMs: onMs.value } : {}) }
      : 'routine' in with_
        ? { routine: with_.routine, ...(way === 'modules' ? { modules: true, onMs: onMs.value } : {}) }
        : { routine, revision: with_.revision, ...(way === 'modules' ? { modules: true, onMs: onMs.value } : {}) };
  const light = useLight(order);
  const beside = useLight(second);
  const memory = useAnswer<Memory[]>('/api/memory', whole.computed ? whole.revision : '', []);
  const player = useMemo(() => new Player(), []);
  useEffect(() => () => player.end(), []);
  const f = light.value.film;
  const g = second ? beside.value.film : null;
  const ms = light.value.ms || info?.ms || 0;
  const lasts = Math.max(f ? ms : 0, g ? beside.value.ms : 0);
  useLayoutEffect(() => player.load(lasts), [lasts, f, g]);
  const speed = useSignal(1);
  const loop = useSignal(true);

  const lamps = useMemo(() => {
    const lit = j.lamps.filter((l) => info?.lamps.includes(l.name));
    return lit.length > 0 ? lit : j.lamps;
  }, [j.lamps, routine, info?.lamps.join()]);
  const round = Math.max(leastRoundMs, lasts); // both pictures begin again together
  const rest = round - lasts;
  const count = useMemo(() => Math.max(...[f, g].map((one) => (one ? flashes(one, loop.value, Math.max(0, round - lengthMs(one))) : 0))), [f, g, loop.value, round]);
  const asked = allowed.value.includes(routine);
  const slower = asked ? 1 : slowdown(count);

  useEffect(() => {
    player.loop = loop.value;
    player.restMs = rest;
    player.speed = Math.min(speed.value, 1 / slower);
  }, [loop.value, speed.value, slower, rest]);

  useEffect(
    () =>
      offer(
        { id: 'play', says: 'Play or pause', more: 'light film start stop', keys: ['Space'], run: () => player.toggle() },
        { id: 'to-start', says: 'Back to the beginning of the routine', keys: ['Home'], run: () => player.seek(0) },
        { id: 'step-on', says: 'One picture on', keys: ['.'], run: () => (player.pause(), player.seek(player.at + (f?.stepMs ?? 16))) },
        { id: 'step-back', says: 'One picture back', keys: [','], run: () => (player.pause(), player.seek(player.at - (f?.stepMs ?? 16))) },
        { id: 'light-loop', says: 'Loop the routine, or play it once', keys: ['L'], run: () => (loop.value = !loop.peek()) },
        { id: 'light-way', says: 'Show as written, or as the modules play it', keys: ['M'], run: () => (showing.value = showing.peek() === 'written' ? 'modules' : 'written') },
        { id: 'light-new', says: 'New routine', run: () => (making.value = true) },
        { id: 'light-routine', says: 'Name, length and lamps of the routine', run: () => (path.value = ['routines', routine]) },
      ),
    [f, routine],
  );

  const index = strokeAt(routine);
  const list = at(whole.tree, ['routines', routine, 'strokes']);
  const strokes = Array.isArray(list) ? list.length : 0;
  const across = Boolean(at(whole.tree, ['routines', routine, 'across']));
  const stroke = index !== null && info ? bodyOf(whole, routine, index) : null;
  const handles = useRef<Handles | null>(null);
  const shownStroke = useMemo(
    () => (stroke && stroke.kind !== 'call' ? { path: ['routines', routine, 'strokes', String(index), stroke.kind], kind: stroke.kind, body: stroke.body, parts: partsOf(lamps, stroke.body.on), across, travels: travels(stroke.kind), totalMs: info!.ms } : null),
    [whole.revision, routine, index, lamps, info?.ms],
  );
  const ready = (p: Picture) => {
    handles.current = new Handles(p);
    give();
  };
  const give = () => {
    const h = handles.current;
    if (!h) return;
    h.stroke = shownStroke;
    h.change = (edits, done, what) => {
      if (done && edits) void make(`${what === 'for' ? 'length' : what} of ${shownStroke?.kind} in ${routine}`, edits).then(() => giveNow.current());
      else draft.value = edits;
    };
  };
  const giveNow = useRef(give);
  giveNow.current = () => {
    give();
    pictureRef.current?.redraw();
  };
  useLayoutEffect(() => giveNow.current(), [shownStroke]);
  const pictureRef = useRef<Picture | null>(null);

  if (!info)
    return (
      <div class="light-empty">
        <div class="empty-place">
          <h2>No routine yet</h2>
          <p>
            A routine is a piece of choreography over one or more lamps: a sweep along the arrow, a glow that breathes, a band that runs across the car. It is made of strokes, each one gesture of light.
            Signals and shows play it.
          </p>
          {whole.tree === null ? (
            <Unreadable />
          ) : j.lamps.length === 0 ? (
            <>
              <p class="faint">Lay out a lamp first: light needs something to shine on.</p>
              <button class="strong" onClick={() => go('layout')}>
                Go to Layout
              </button>
            </>
          ) : (
            form.value && <NewRoutine j={whole} />
          )}
        </div>
      </div>
    );

  const toggle = (lamp: string, group: number) => {
    const there = picks.value.some((q) => q.lamp === lamp && q.group === group);
    picks.value = there ? picks.value.filter((q) => q.lamp !== lamp || q.group !== group) : [...picks.value, { lamp, group }];
  };
  const paced = way === 'modules' ? light.value.plays.some((p) => p.paced) : beside.value.plays.some((p) => p.paced);
  return (
    <div class="light">
      <Controls routine={info} routines={j.routines} player={player} speed={speed} loop={loop} ms={lasts} stepMs={f?.stepMs ?? 16} />
      {count > mostFlashes && <Flashing count={count} slower={slower} asked={asked} allow={(yes) => (allowed.value = yes ? [...allowed.value, routine] : allowed.value.filter((r) => r !== routine))} />}
      {[...light.value.problems, ...(second ? beside.value.problems : [])].map((d) => (
        <Trouble d={d} where={false} />
      ))}
      <MemoryWord all={memory} />
      <div class="light-middle">
        <div class="light-pictures">
          <div class="light-picture">
            {second && <h2 class="light-title">{way === 'written' ? 'As written now' : 'As the modules play it now'}</h2>}
            <CarPicture
              lamps={lamps}
              film={f}
              player={player}
              busy={light.value.busy && !f}
              marks={picks.value}
              ready={(p) => ((pictureRef.current = p), ready(p))}
              pick={(hit) => hit && toggle(hit.lamp.name, hit.group)}
            >
              {picks.value.length > 0 && <Chosen />}
              <button class="quiet" aria-pressed={settings.value.raised} onClick={() => set({ raised: !settings.value.raised })} title="Show dim light brighter than it is">
                Raise dim light
              </button>
            </CarPicture>
          </div>
          {second && (
            <div class="light-picture">
              <h2 class="light-title">{titleOf(with_!, way)}</h2>
              <CarPicture id="picture-beside" lamps={lamps} film={g} player={player} busy={beside.value.busy && !g} />
            </div>
          )}
        </div>
        <div class="light-side">
          {making.value ? (
            <NewRoutine j={whole} />
          ) : index !== null && stroke ? (
            <StrokeForm j={whole} routine={info} index={index} lamps={lamps} count={strokes} />
          ) : (
            <RoutineForm j={whole} routine={info} />
          )}
          {way === 'modules' && light.value.plays.length > 0 && <Plays plays={light.value.plays} />}
        </div>
        <Timeline job={whole} routine={info} film={f} other={second ? { film: g, title: titleOf(with_!, way) } : null} player={player} lamps={lamps} lasts={Math.max(lasts, info.ms)} strokes={strokes} paced={paced} />
      </div>
    </div>
  );
}

// Chosen tells of the groups that are chosen, and widens them to whole zones.
function Chosen() {
  const j = shown.value!;
  const zones = [
    ...new Set(
      picks.value.flatMap((q) => {
        const lamp = j.lamps.find((l) => l.name === q.lamp);
        return (lamp?.zones ?? []).filter((z) => z.groups.includes(q.group)).map((z) => z.name);
      }),
    ),
  ].slice(0, 3);
  const widen = (zone: string) => {
    const seen = new Set(picks.value.map((q) => q.lamp));
    picks.value = j.lamps.filter((l) => seen.has(l.name)).flatMap((l) => (l.zones.find((z) => z.name === zone)?.groups ?? []).map((group) => ({ lamp: l.name, group })));
  };
  return (
    <div class="row light-chosen">
      <span>{picks.value.length} chosen</span>
      {zones.map((z) => (
        <button class="quiet" onClick={() => widen(z)}>
          All of {z}
        </button>
      ))}
      <button class="quiet" onClick={() => (picks.value = [])}>
        None
      </button>
    </div>
  );
}

// Plays tells which programs are seen, and how true they are to what is written.
function Plays({ plays }: { plays: Play[] }) {
  return (
    <section class="side-part" aria-label="What the modules hold">
      <h2>In the modules</h2>
      <ul class="plays">
        {plays.map((p) => (
          <li>
            <b>{p.module}</b> {p.layer}, {p.part}: {p.bytes} bytes, {p.fades} fades{p.error > 0 ? `, within ${p.error.toFixed(1)} levels of 255` : ''}
            {p.paced ? ', at the flasher’s pace' : ''}
          </li>
        ))}
      </ul>
    </section>
  );
}
