// The modules: which board in which lamp, how full, and how each is programmed.

import { plain } from '../../engine/api';
import type { Module } from '../../engine/types';
import { inspect, shown, store } from '../../ui/state';

export function Modules() {
  const modules = shown.value?.modules ?? [];
  if (modules.length === 0) return null;
  return (
    <section class="card" aria-labelledby="job-modules">
      <h2 id="job-modules">Modules</h2>
      <div class="scroll-x" tabIndex={0} role="region" aria-label="Table of modules">
        <table class="table">
          <thead>
            <tr>
              <th scope="col">Module</th>
              <th scope="col">Board</th>
              <th scope="col">Lamp</th>
              <th scope="col" class="number">
                Outputs
              </th>
              <th scope="col" class="number">
                Memory
              </th>
              <th scope="col">To program it</th>
            </tr>
          </thead>
          <tbody>
            {modules.map((m) => (
              <Row m={m} />
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

function Row({ m }: { m: Module }) {
  const used = m.output.filter((o) => o > 0).length;
  const full = Math.max(m.bytes / m.mostBytes || 0, m.fades / m.mostFades || 0);
  return (
    <tr>
      <th scope="row">
        <button class="link" onClick={() => inspect(['modules', m.name])}>
          {m.name}
        </button>
      </th>
      <td class="nowrap">{m.board}</td>
      <td class="nowrap">{m.lamp}</td>
      <td class="number">
        {used} of {m.outputs}
      </td>
      <td class="number">{m.bytes > 0 ? `${Math.round(full * 100)} %` : '–'}</td>
      <td>{m.load ? <Command text={m.load} /> : <span class="faint">after making</span>}</td>
    </tr>
  );
}

function Command({ text }: { text: string }) {
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(text);
      store.tell({ problems: [plain('the command is copied', '')], good: true });
    } catch {
      store.tell({ problems: [plain('the browser does not let this page copy', 'select the command and copy it by hand')] });
    }
  };
  return (
    <span class="command">
      <code>{text}</code>
      <button class="quiet" onClick={copy}>
        Copy
      </button>
    </span>
  );
}
