// Word of live light that flashes too fast, and the question whether it may be shown as it is.

import { mostFlashes } from '../engine/flash';
import { fastAllowed, tooFast } from './bench';

export function FastLive() {
  if (fastAllowed.value)
    return (
      <div class="flashing" role="note">
        <span>Shown as it is, however fast it flashes.</span>
        <button onClick={() => (fastAllowed.value = false)}>Hold it calm</button>
      </div>
    );
  if (!tooFast.value) return null;
  return (
    <div class="flashing" role="note">
      <span>Something flashes more than {mostFlashes} times a second, which can harm people. It is held here, so that the picture does not.</span>
      <button onClick={() => (fastAllowed.value = true)}>Show it as it is</button>
    </div>
  );
}
