// The next thing to do with this lamp, as far as can be seen: one line, with the way there.

import { drive } from '../../inspector/change';
import { go, job } from '../../ui/state';
import { many } from '../../ui/words';
import type { Drawing } from './drawing';
import { marking, photo, placed } from './photo';
import { openTab, take } from './state';

interface Next {
  says: string;
  acts: [string, () => void][];
}

export function next(d: Drawing): Next | null {
  const j = job.value!;
  const { lamp } = d;
  const module = j.modules.find((m) => m.lamp === lamp.name);
  if (!d.hand && lamp.leds.length === 0) {
    if (photo.value && !placed.value) return { says: 'Mark two points of the photo whose distance you know, so that it lies to scale.', acts: [['Mark', () => (openTab('photo'), (marking.value = true))]] };
    if (photo.value) return { says: 'Draw the LEDs over the photo, or find the bright spots of the lit lamp.', acts: [['Grid', () => take('grid')], ['LED', () => take('led')], ['Spots', () => openTab('photo')]] };
    return { says: 'Nothing is drawn yet. Lay a photo of the lamp under the sheet, or draw LEDs at once.', acts: [['Photo', () => openTab('photo')], ['Grid', () => take('grid')], ['LED', () => take('led')]] };
  }
  if (!d.hand && lamp.outline.length === 0) return { says: 'Draw the edge of the lit face.', acts: [['Outline', () => take('outline')]] };
  if (!module) return { says: 'No module drives this lamp yet.', acts: [['Give it one', () => void drive(lamp.name)]] };
  const loose = module.output.filter((o) => o === 0).length;
  if (loose > 0) return { says: `${many(loose, 'group')} ${loose === 1 ? 'hangs' : 'hang'} on no output of ${module.name}.`, acts: [['Wiring', () => go('wiring')]] };
  if (!d.hand && lamp.functions.length === 0 && j.use !== 'show-only') return { says: 'Say which groups serve as turn, stop or tail.', acts: [['Groups', () => openTab('groups')], ['Light', () => go('light')]] };
  if (j.routines.length === 0) return { says: 'It is laid out and wired. Let it light.', acts: [['Light', () => go('light')]] };
  return null;
}

export function NextStep({ d }: { d: Drawing }) {
  const n = d.current ? next(d) : null;
  if (!n) return null;
  return (
    <div class="next-step" role="status">
      <p>
        <b>Next:</b> {n.says}
      </p>
      <div class="row">
        {n.acts.map(([says, run]) => (
          <button onClick={run}>{says}</button>
        ))}
      </div>
    </div>
  );
}
