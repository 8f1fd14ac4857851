// To the real lamp: the light of the bench sent to a module on a serial port, in place of its shows; its own road signals stay above it.

import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { get, plain, post, told } from '../../engine/api';
import { at, isMapping } from '../../engine/tree';
import type { Diagnostic } from '../../engine/types';
import { bench } from '../../ui/bench';
import { Trouble } from '../../ui/diagnostic';
import { job } from '../../ui/state';

interface Live {
  can: boolean;
  ports: string[];
}

export function Lamp() {
  const open = useSignal(false);
  const live = useSignal<Live | null>(null);
  const port = useSignal('');
  const module = useSignal('');
  const refused = useSignal<Diagnostic[]>([]);
  const wire = bench.value?.wire;
  const sending = wire?.state === 'sending' || wire?.state === 'asking';
  const tree = job.value!.tree;
  const modules = job.value!.modules.map((m) => m.name).filter((name) => at(tree, ['modules', name, 'stream']) === 'true');
  const look = () =>
    get<Live>('/api/live')
      .then((l) => {
        live.value = l;
        if (!l.ports.includes(port.peek())) port.value = l.ports[0] ?? '';
      })
      .catch((error) => (refused.value = told(error)));
  useEffect(() => {
    if (open.value) void look();
  }, [open.value]);
  const chosen = modules.includes(module.value) ? module.value : (modules[0] ?? '');
  const send = (to: string) =>
    post('/api/live', { port: to, module: chosen })
      .then(() => (refused.value = []))
      .catch((error) => (refused.value = told(error)));
  const why = live.value && cannot(live.value, modules.length, isMapping(at(tree, ['modules'])));
  return (
    <>
      <button aria-pressed={sending} aria-expanded={open.value} onClick={() => (open.value = !open.value)}>
        {wire?.state === 'sending' ? `Sent to ${wire.module}` : wire?.state === 'asking' ? `Asking ${wire.module}…` : 'Send to the lamp'}
      </button>
      {open.value && (
        <div class="bench-lamp">
          {why && !sending && <Trouble d={why} where={false} />}
          {!why && live.value && (
            <div class="row">
              <label>
                <span>Module</span>
                <select value={chosen} disabled={sending} onChange={(e) => (module.value = e.currentTarget.value)}>
                  {modules.map((m) => (
                    <option value={m}>{m}</option>
                  ))}
                </select>
              </label>
              <label>
                <span>Port</span>
                <select value={port.value} disabled={sending} onChange={(e) => (port.value = e.currentTarget.value)}>
                  {live.value.ports.map((p) => (
                    <option value={p}>{p}</option>
                  ))}
                </select>
              </label>
              {sending ? (
                <button onClick={() => void send('')}>Stop sending</button>
              ) : (
                <button class="strong" onClick={() => void send(port.value)}>
                  Send to the lamp on {port.value}
                </button>
              )}
            </div>
          )}
          <div class="row">
            <button class="quiet" onClick={() => void look()}>
              Look for ports again
            </button>
          </div>
          {[...(wire?.problems ?? []), ...refused.value].map((d) => (
            <Trouble d={d} where={false} />
          ))}
          <p class="faint">The module shows this in place of its shows; its own road signals stay above it. A quarter of a second after the last picture it goes back to its own program.</p>
        </div>
      )}
    </>
  );
}

// cannot tells why nothing can be sent from here.
function cannot(live: Live, modules: number, any: boolean): Diagnostic | null {
  if (!live.can) return plain('this workbench has no serial ports', 'use lampwright open on the machine that the lamp is plugged into');
  if (any && modules === 0) return plain('no module of this job takes streamed light', 'write stream: true under the module, then make and load it');
  if (live.ports.length === 0) return plain('there is no serial port on this machine', 'plug the adapter in, then look again');
  return null;
}
