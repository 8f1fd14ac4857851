// Hanging groups on outputs: the lamp on one side, the outputs on the other, the bar between what is chosen and what is done.

import { useLayoutEffect, useMemo } from 'preact/hooks';
import { offer } from '../../engine/actions';
import { many } from '../../ui/words';
import { AlikeNote, Bar, Stop } from './bar';
import { drag, grab, type Held, type Target } from './drag';
import { LampPicture } from './lamp';
import { patternsOf, type Callout, type Tag } from './labels';
import { nameOf, outputOf, runs, short, type Wiring } from './map';
import { GroupChip, Outputs, type Cell } from './outputs';
import { chosen, clickGroup, clickOutput, hang, labels, pointed, pointedOutput, rotate, runOf, swap } from './state';

// Levels at which groups stand in the picture: a group that hangs nowhere is dark.
const wired = 105;
const full = 255;

export function Hang({ w }: { w: Wiring }) {
  const c = chosen.value;
  const run = runOf(c);
  const d = drag.value;
  const group = c && 'group' in c ? c.group : c && !run ? (w.on[c.first - 1] ?? null) : null; // the group of what is chosen
  const over = d?.over && typeof d.over === 'object' ? d.over : null;
  const near = over && 'output' in over ? over.output : over && 'group' in over ? outputOf(w, over.group) : (pointedOutput.value ?? (pointed.value !== null ? outputOf(w, pointed.value) : 0));
  const nearGroup = over && 'group' in over ? over.group : near > 0 ? (w.on[near - 1] ?? null) : pointed.value;

  useLayoutEffect(
    () =>
      offer(
        { id: 'wiring-swap', says: 'Swap the first and the last output of the run', keys: ['X'], ready: () => runOf(chosen.peek()) !== null, run: () => void swap(w, ...runOf(chosen.peek())!) },
        { id: 'wiring-back', says: 'Move what hangs on the run back by one', more: 'rotate', keys: ['['], ready: () => runOf(chosen.peek()) !== null, run: () => void rotate(w, runOf(chosen.peek())!, -1) },
        { id: 'wiring-on', says: 'Move what hangs on the run on by one', more: 'rotate', keys: [']'], ready: () => runOf(chosen.peek()) !== null, run: () => void rotate(w, runOf(chosen.peek())!, 1) },
        { id: 'wiring-leave', says: 'Choose nothing', keys: ['Escape'], ready: () => chosen.peek() !== null, run: () => (chosen.value = null) },
      ),
    [w],
  );

  const tags = useMemo(() => {
    const patterns = patternsOf(w.lamp);
    return w.lamp.groups.map((g, i): Tag => {
      const o = outputOf(w, i);
      const { pattern, member } = short(g.name);
      const own = patterns.get(pattern)?.length === 1 ? pattern : member;
      return { text: labels.value === 'groups' ? own : o ? String(o) : '–', hollow: o === 0 };
    });
  }, [w, labels.value]);
  const light = w.lamp.groups.map((_, i) => (i === nearGroup || i === group || i === d?.held.group ? full : outputOf(w, i) ? wired : 0));
  const said = (g: number) => `${nameOf(w, g)} ${outputOf(w, g) ? `→ output ${outputOf(w, g)}` : 'hangs nowhere'}`;
  const callouts = useMemo(() => {
    const all: Callout[] = [];
    for (const g of new Set([d?.held.group ?? group, nearGroup])) if (g !== null) all.push({ group: g, text: said(g) });
    return all;
  }, [w, d?.held.group, group, nearGroup]);

  const drop = (held: Held, target: Target) => {
    if (!target) return;
    if (target === 'off') void hang(w, held.group!, 0);
    else if ('group' in target) void hang(w, target.group, held.output!);
    else if (held.output !== null && held.group === null) void swap(w, held.output, target.output);
    else void hang(w, held.group!, target.output);
    chosen.value = null;
  };
  const hold = (e: PointerEvent, output: number) => {
    if (e.pointerType === 'touch' && !(e.target as HTMLElement).closest('.group-chip')) return; // there the finger scrolls
    const g = w.on[output - 1] ?? null;
    grab(e, { group: g, output, says: g === null ? `Output ${output}` : nameOf(w, g) }, (target) => drop({ group: g, output, says: '' }, target));
  };

  const cell = (o: number): Cell => {
    const g = w.on[o - 1] ?? null;
    const load = w.load[o - 1] ?? null;
    const inRun = run !== null && o >= run[0] && o <= run[1];
    const isChosen = inRun || (c !== null && ('first' in c ? c.first === o && !run : g !== null && c.group === g));
    const look = [g === null && !load ? 'free' : '', isChosen ? 'chosen' : '', o === near ? 'near' : '', over && 'output' in over && over.output === o ? 'target' : ''].join(' ');
    return {
      look,
      pressed: isChosen,
      shows: g !== null ? <GroupChip w={w} group={g} /> : <span class="faint">{load ? `load ${load}` : 'free'}</span>,
    };
  };

  return (
    <>
      <LampPicture
        w={w}
        tags={tags}
        light={light}
        callouts={callouts}
        says={said}
        over={(g) => (pointed.value = g)}
        pick={(g, keys) => (g === null ? (chosen.value = null) : clickGroup(w, g, keys))}
        drop={drop}
      >
        <button class="quiet" aria-pressed={labels.value === 'groups'} onClick={() => (labels.value = labels.value === 'groups' ? 'outputs' : 'groups')} title="The numbers on the lamp: those of the groups, or those of their outputs">
          Group numbers
        </button>
      </LampPicture>
      <div class="wiring-side">
        <Bar w={w} />
        <AlikeNote />
        <Stop w={w} />
        <Outputs
          w={w}
          label={`Outputs of ${w.module.name}`}
          cell={cell}
          press={(o) => clickOutput(w, o)}
          over={(o) => {
            pointedOutput.value = o;
            pointed.value = null;
          }}
          down={hold}
          remove={(o) => w.on[o - 1] !== null && void hang(w, w.on[o - 1]!, 0)}
        />
        <Rest w={w} drop={drop} />
      </div>
      {d && (
        <div class="wiring-held" style={{ left: `${d.x}px`, top: `${d.y}px` }} aria-hidden="true">
          {d.held.says}
          {over && 'output' in over && ` → ${over.output}`}
          {over && 'group' in over && ` → ${nameOf(w, over.group)}`}
          {d.over === 'off' && ' off'}
        </div>
      )}
    </>
  );
}

// Rest says which groups hang nowhere and which outputs are free; a group that is dropped here comes off.
function Rest({ w, drop }: { w: Wiring; drop: (held: Held, target: Target) => void }) {
  const d = drag.value;
  const takes = d !== null && d.held.group !== null && d.held.output !== null;
  const c = chosen.value;
  return (
    <div class={`wiring-rest ${d?.over === 'off' ? 'target' : ''}`} data-off="">
      {takes ? (
        <p>Drop it here to take {d.held.says} off</p>
      ) : w.loose.length === 0 ? (
        <p class="good">✓ Every group hangs on an output</p>
      ) : (
        <>
          <p class="caution">
            <b>▲ {many(w.loose.length, 'group hangs', 'groups hang')} nowhere</b>
          </p>
          <div class="wiring-loose">
            {w.loose.map((g) => (
              <button
                key={g}
                class="chip"
                aria-pressed={c !== null && 'group' in c && c.group === g}
                onClick={(e) => clickGroup(w, g, (e as unknown as PointerEvent).pointerType !== 'touch')}
                onPointerDown={(e) => grab(e, { group: g, output: null, says: nameOf(w, g) }, (t) => drop({ group: g, output: null, says: '' }, t))}
                onPointerEnter={() => (pointed.value = g)}
                onPointerLeave={() => (pointed.value = null)}
              >
                <GroupChip w={w} group={g} />
              </button>
            ))}
          </div>
        </>
      )}
      {!takes && <p class="faint">{w.free.length === 0 ? 'No output is free' : `Free: ${runs(w.free)}`}</p>}
    </div>
  );
}
