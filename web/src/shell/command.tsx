// A form for any command of the server by its name: what it is for when no view offers it.

import { useEffect, useRef, useState } from 'preact/hooks';
import type { Command, Diagnostic } from '../engine/types';
import { Trouble } from '../ui/diagnostic';
import { Modal } from '../ui/dialog';
import { dialog, store } from '../ui/state';
import { capital } from '../ui/words';

export function CommandForm({ name }: { name: string }) {
  const [command, take] = useState<Command | null>(null);
  const [typed, type] = useState<Record<string, string>>({});
  const [problems, tell] = useState<Diagnostic[]>([]);
  const first = useRef<HTMLInputElement>(null);
  useEffect(() => first.current?.focus(), [command]); // its fields come after the dialog is open
  useEffect(() => {
    void store.commands().then((all) => take(all.find((c) => c.name === name) ?? null));
  }, [name]);
  const run = async (e: Event) => {
    e.preventDefault();
    const args = Object.fromEntries(Object.entries(typed).filter(([, v]) => v.trim() !== '').map(([k, v]) => [k, k === 'path' ? v.trim().split(/[\s.]+/) : meant(v)]));
    const refused = await store.do(name, args, true);
    if (refused) tell(refused);
    else dialog.value = null;
  };
  return (
    <Modal title={capital(command?.says ?? name)}>
      <form onSubmit={run}>
        {Object.entries(command?.args ?? {}).map(([arg, what], i) => (
          <label class="field">
            <span class="field-name">{arg}</span>
            <input ref={i === 0 ? first : undefined} value={typed[arg] ?? ''} onInput={(e) => type({ ...typed, [arg]: e.currentTarget.value })} />
            <span class="faint">{what}</span>
          </label>
        ))}
        {problems.map((d) => (
          <Trouble d={d} />
        ))}
        <div class="row">
          <button class="strong">Do it</button>
        </div>
      </form>
    </Modal>
  );
}

// meant reads lists, mappings, numbers and truths as JSON has them; anything else is text.
function meant(text: string): unknown {
  if (/^\s*(\[|\{|-?\d|true\b|false\b)/.test(text)) {
    try {
      return JSON.parse(text);
    } catch {
      // text, then: 12 mm
    }
  }
  return text;
}
