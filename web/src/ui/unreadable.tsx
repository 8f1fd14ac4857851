// What a place says while the text is no document at all.

import { panel } from './state';

export function Unreadable() {
  return (
    <>
      <p>The text cannot be read as a document. Mend it in the text pane first.</p>
      <button class="strong" onClick={() => (panel.value = 'text')}>
        Open the text
      </button>
    </>
  );
}
