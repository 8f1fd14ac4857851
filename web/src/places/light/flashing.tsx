// Word of a routine that flashes fast, and the question whether it may be shown so.

import { mostFlashes } from '../../engine/flash';

export function Flashing({ count, slower, asked, allow }: { count: number; slower: number; asked: boolean; allow: (yes: boolean) => void }) {
  return (
    <div class="flashing" role="note">
      {asked ? (
        <>
          <span>Shown as it is written: it flashes {count} times a second.</span>
          <button onClick={() => allow(false)}>Show it slowed</button>
        </>
      ) : (
        <>
          <span>
            At its own speed this flashes {count} times a second, which can harm people. It is shown at {Math.floor(100 / slower)} % of its speed, so that it stays within {mostFlashes}.
          </span>
          <button onClick={() => allow(true)}>Show it as it is written</button>
        </>
      )}
    </div>
  );
}
