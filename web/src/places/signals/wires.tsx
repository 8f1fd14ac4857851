// The wires: what each factory wire does at a supply, seen as on a scope, with the thresholds of the board's input, what the module makes of
// it, and how much later. A scope record can be laid there and taken over.

import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { get, send, told } from '../../engine/api';
import type { Diagnostic, Value } from '../../engine/types';
import { bench } from '../../ui/bench';
import { Trouble } from '../../ui/diagnostic';
import { inspect, job, shown, store } from '../../ui/state';
import { Supply, volts } from '../../ui/supply';
import { ScopePicture, type Trace, type WirePicture } from './scopepicture';
import { wire } from './state';

export interface Record extends Trace {
  summary: string;
  written: string;
  feed: Value;
  filter: string;
  mostOnMs: number;
  mostOffMs: number;
  problems: Diagnostic[] | null;
}

const settleMs = 60; // while the slider is moved

export function Wires() {
  const inputs = (shown.value ?? job.value!).inputs;
  const name = inputs.some((i) => i.name === wire.value) ? wire.value : (inputs[0]?.name ?? '');
  const supply = useSignal(bench.peek()?.supply ?? 13.5);
  const picture = useSignal<WirePicture | null>(null);
  const problems = useSignal<Diagnostic[]>([]);
  const record = useSignal<Record | null>(null);
  const revision = job.value!.revision;
  useEffect(() => {
    if (!name) return;
    let gone = false;
    const timer = setTimeout(() => {
      get<WirePicture>(`/api/feed?input=${encodeURIComponent(name)}&supply=${supply.value}`)
        .then((p) => {
          if (gone) return;
          picture.value = p;
          problems.value = [];
        })
        .catch((error) => !gone && ((problems.value = told(error)), (picture.value = null)));
    }, settleMs);
    return () => {
      gone = true;
      clearTimeout(timer);
    };
  }, [name, supply.value, revision]);
  useEffect(() => {
    record.value = null;
  }, [name]);

  if (inputs.length === 0)
    return (
      <div class="wires empty-place">
        <h2>No input yet</h2>
        <p>An input is where a wire of the car comes in.</p>
        <button class="strong" onClick={() => inspect(['inputs'])}>
          Make the first one
        </button>
      </div>
    );
  const p = picture.value?.input === name ? picture.value : null;
  return (
    <div class="wires">
      <div class="row wires-inputs" role="group" aria-label="Input">
        {inputs.map((i) => (
          <button aria-pressed={i.name === name} onClick={() => (wire.value = i.name)} title={`Where it comes in: ${i.pins.map((n) => `${n.module}.in${n.in}`).join(', ')}`}>
            {i.name}
          </button>
        ))}
      </div>
      {problems.value.map((d) => (
        <Trouble d={d} where={false} />
      ))}
      {record.value ? <ScopePicture trace={record.value} name={name} /> : p && <ScopePicture picture={p} name={name} />}
      {record.value ? <Taking record={record.value} name={name} leave={() => (record.value = null)} /> : p && <Reading p={p} />}
      <div class="wires-foot">
        {!record.value && <Supply value={supply.value} set={(v) => (supply.value = v)} label="Drawn at" />}
        <Load name={name} loaded={(r) => (record.value = r)} disabled={p !== null && p.wire !== name} />
        <button class="quiet" onClick={() => inspect(['inputs', name])}>
          Edit the input
        </button>
      </div>
    </div>
  );
}

function Reading({ p }: { p: WirePicture }) {
  return (
    <div class="wires-says">
      <p>
        <b>{p.wire === p.input ? p.input : `${p.input}, on the wire of ${p.wire}`}:</b> {p.says}.
        {p.offVolts > 0 && ` Undriven it stands at ${p.offVolts.toFixed(2)} V.`}
      </p>
      <dl class="wires-figures">
        <Figure name="low up to" says={`${p.lowUpTo.toFixed(2)} V`} why={`of ${p.board}, at every tolerance`} />
        <Figure name="high from" says={`${p.highFrom.toFixed(2)} V`} why={`of ${p.board}, at every tolerance`} />
        <Figure name="counts as on" says={p.filter ? (p.onMs === null ? 'never' : `${p.onMs.toFixed(1)} ms later`) : 'cannot be read'} why={p.filter ? `at worst ${p.mostOnMs.toFixed(1)} ms` : ''} />
        <Figure name="counts as off" says={p.filter ? (p.offMs === null ? 'never' : `${p.offMs.toFixed(1)} ms later`) : 'cannot be read'} why={p.filter ? `at worst ${p.mostOffMs.toFixed(1)} ms` : ''} />
        <Figure name="filter" says={p.filter || 'none'} why="a look every 0.5 ms" />
      </dl>
      {p.supply < p.highFrom && <p class="warn">At {volts(p.supply)} no wire reaches the threshold: every input reads as off.</p>}
      {(p.problems ?? []).map((d) => (
        <Trouble d={d} where={false} />
      ))}
    </div>
  );
}

function Figure({ name, says, why }: { name: string; says: string; why: string }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>
        {says}
        {why && <small>{why}</small>}
      </dd>
    </div>
  );
}

// Load reads a scope record of the wire.
function Load({ name, loaded, disabled }: { name: string; loaded: (r: Record) => void; disabled: boolean }) {
  const file = useRef<HTMLInputElement>(null);
  const busy = useSignal(false);
  const refused = useSignal<Diagnostic[]>([]);
  useEffect(() => {
    refused.value = [];
  }, [name]);
  const take = async (f: File | undefined) => {
    if (!f) return;
    busy.value = true;
    try {
      loaded(await send<Record>(`/api/scope?input=${encodeURIComponent(name)}`, f));
      refused.value = [];
    } catch (error) {
      refused.value = told(error);
    }
    busy.value = false;
  };
  return (
    <div class="wires-load" onDragOver={(e) => e.preventDefault()} onDrop={(e) => (e.preventDefault(), void take(e.dataTransfer?.files[0]))}>
      <input ref={file} type="file" accept=".csv,.txt,text/csv,text/plain" class="visually-hidden" tabIndex={-1} aria-label={`Scope record of ${name}`} onChange={(e) => (void take(e.currentTarget.files?.[0]), (e.currentTarget.value = ''))} />
      <button aria-disabled={disabled || busy.value} title={disabled ? 'It has no wire of its own' : 'Time and volts of this wire, as a scope saves them (CSV)'} onClick={() => !disabled && file.current!.click()}>
        {busy.value ? 'Reading the record…' : 'Read a scope record'}
      </button>
      {refused.value.map((d) => (
        <Trouble d={d} where={false} />
      ))}
    </div>
  );
}

// Taking shows what a record tells, and takes it over as the wire's feed.
function Taking({ record, name, leave }: { record: Record; name: string; leave: () => void }) {
  const refused = useSignal<Diagnostic[]>([]);
  const take = async () => {
    refused.value = (await store.do('feed', { input: name, feed: record.feed }, true)) ?? [];
    if (refused.value.length === 0) leave();
  };
  return (
    <div class="wires-says">
      <p>
        <b>The record of {name}</b> {record.summary}.
      </p>
      <pre class="excerpt">feed: {record.written}</pre>
      <p>{record.filter ? `The module would read it with ${record.filter}: at most ${record.mostOnMs.toFixed(1)} ms later on, ${record.mostOffMs.toFixed(1)} ms later off.` : 'The module cannot read such a wire.'}</p>
      <div class="row">
        <button class="strong" onClick={() => void take()}>
          Take it over
        </button>
        <button onClick={leave}>Leave it</button>
      </div>
      {[...refused.value, ...(record.problems ?? [])].map((d) => (
        <Trouble d={d} where={false} />
      ))}
    </div>
  );
}
