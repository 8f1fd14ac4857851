// What a person sets for this browser.

import { Modal } from '../ui/dialog';
import { set, settings } from '../ui/state';

export function SettingsDialog() {
  const s = settings.value;
  return (
    <Modal title="View">
      <Choice name="Theme" value={s.theme} options={{ system: 'As the system', light: 'Light', dark: 'Dark' }} set={(theme) => set({ theme })} />
      <Choice name="Letters" value={s.size} options={{ normal: 'Normal', large: 'Large', larger: 'Larger' }} set={(size) => set({ size })} />
      <label class="tick">
        <input type="checkbox" checked={s.letters} onChange={(e) => set({ letters: e.currentTarget.checked })} />
        <span>Single keys switch places and panels (1 to 9, I, P, T and ?)</span>
      </label>
      <label class="tick">
        <input type="checkbox" checked={s.raised} onChange={(e) => set({ raised: e.currentTarget.checked })} />
        <span>Show dim light brighter than it is</span>
      </label>
    </Modal>
  );
}

function Choice<T extends string>({ name, value, options, set }: { name: string; value: T; options: Record<T, string>; set: (v: T) => void }) {
  return (
    <fieldset class="choice">
      <legend>{name}</legend>
      <div class="segments">
        {(Object.keys(options) as T[]).map((o) => (
          <label>
            <input type="radio" name={name} checked={o === value} onChange={() => set(o)} />
            <span>{options[o]}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}
