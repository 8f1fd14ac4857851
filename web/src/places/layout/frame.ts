// The rectangle: patterns, groups or bright spots are chosen by it.

import type { Point } from '../../engine/types';
import { itemOf, type Drawing, type Item } from './drawing';
import { indexAt, ledAt, within } from './hit';
import { spotPoints, spotsChosen } from './photo';
import { choose, chosen, chosenGroups, tab } from './state';

interface Frame {
  a: Point;
  add: boolean; // to what is chosen already
}

// framed chooses what lies in a rectangle; without a second corner, what lies under the first.
export function framed(d: Drawing, f: Frame, to: Point | null, reach: number) {
  if (tab.peek() === 'photo') return frameSpots(f, to, reach);
  if (tab.peek() === 'groups') {
    const led = ledAt(d, f.a, reach);
    const names = new Set(to ? d.lamp.leds.filter((l) => within(f.a, to, l)).map((l) => d.lamp.groups[l[2]]!.name) : led >= 0 ? [d.lamp.groups[d.lamp.leds[led]![2]]!.name] : []);
    const have = chosenGroups.peek();
    if (!to && led >= 0) chosenGroups.value = [...names].every((n) => have.includes(n)) ? have.filter((n) => !names.has(n)) : [...have, ...names];
    else chosenGroups.value = f.add ? [...new Set([...have, ...names])] : [...names];
    return;
  }
  if (!to) return f.add ? undefined : choose([]);
  const found = new Set<Item>();
  d.lamp.leds.forEach((l, i) => d.of[i] && within(f.a, to, l) && found.add(itemOf(d.of[i]!)));
  for (const path of d.paths) if (path.points.every((p) => within(f.a, to, p))) found.add(`paths.${path.name}`);
  if (d.lamp.outline.length > 0 && d.lamp.outline.every((p) => within(f.a, to, p))) found.add('outline');
  choose(f.add ? [...new Set([...chosen.peek(), ...found])] : [...found]);
}

function frameSpots(f: Frame, to: Point | null, reach: number) {
  const all = spotPoints.peek();
  const next = new Set(spotsChosen.peek());
  if (!to) {
    const i = indexAt(all.map((s) => s.at), f.a, reach);
    if (i < 0 || all[i]!.taken) return;
    if (!next.delete(i)) next.add(i);
  } else {
    if (!f.add) next.clear();
    all.forEach((s, i) => !s.taken && within(f.a, to, s.at) && next.add(i));
  }
  spotsChosen.value = next;
}
