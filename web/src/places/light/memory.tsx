// Word of modules whose memory runs full, and of what fills it.

import { path } from '../../ui/state';
import type { Memory } from './film';

const tellFrom = 0.8; // of a module's memory

export function MemoryWord({ all }: { all: Memory[] }) {
  const full = all.filter((m) => m.bytes >= tellFrom * m.most);
  if (full.length === 0) return null;
  return (
    <div class="memory" role="note">
      {full.map((m) => (
        <p>
          <b>
            {m.module}: {Math.round((100 * m.bytes) / m.most)} % of its memory
          </b>{' '}
          ({m.bytes} of {m.most} bytes). Longest:{' '}
          {m.parts.slice(0, 3).map((p, i) => (
            <>
              {i > 0 && ', '}
              <button class="link" onClick={() => (path.value = ['routines', p.routine])}>
                {p.routine}
              </button>{' '}
              {p.bytes}
            </>
          ))}
          . Sweeps by group and harder edges take less.
        </p>
      ))}
    </div>
  );
}
