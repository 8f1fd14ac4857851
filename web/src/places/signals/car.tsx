// The car with the light of the bench or of a script, and on it who holds what: a tag by every part that a signal or show has.

import { useComputed } from '@preact/signals';
import { useEffect, useMemo, useRef } from 'preact/hooks';
import { frameAt, lightOf, ownersAt } from '../../engine/film';
import { percent } from '../../engine/units';
import type { Lamp } from '../../engine/types';
import type { Hit, Picture } from '../../picture/picture';
import { CarPicture } from '../../picture/view';
import { bench, benchFilm, benchOpen, benchOwners, benchPlayer } from '../../ui/bench';
import { FastLive } from '../../ui/fastlive';
import { set, settings, shown } from '../../ui/state';
import type { Playing } from './script';
import { chosen, picked } from './state';
import { drawTags, ownerName, type Held } from './tags';

export function Car({ live, lamps, script }: { live: boolean; lamps: Lamp[]; script: Playing }) {
  const picture = useRef<Picture | null>(null);
  const film = live ? benchFilm.value : script.film.value.film;
  const player = live ? benchPlayer : script.player;
  const now = useRef<() => Held | null>(() => null);
  now.current = () => {
    if (!film) return null;
    const owners = live ? benchOwners.peek() : ownersAt(film, player.at);
    return owners && owners.length === film.groups ? { owners, layers: (live ? bench.peek()?.layers : film.layers) ?? [], first: film.first } : null;
  };
  const owners = benchOwners.value;
  useEffect(() => picture.current?.redraw(), [owners, film, live, lamps]);
  useEffect(() => {
    if (live || !film) return;
    let last = '';
    return player.each(() => {
      const key = now.current()?.owners.join() ?? '';
      if (key !== last) picture.current?.redraw();
      last = key;
    });
  }, [live, film]);

  const marks = useComputed(() => {
    if (picked.value) return [picked.value];
    const layer = shown.value?.layers.find((l) => l.name === chosen.value);
    return layer?.takes.flatMap((t) => t.groups.map((group) => ({ lamp: t.lamp, group }))) ?? [];
  });
  const says = useMemo(
    () => (hit: Hit) => {
      const held = now.current();
      const at = (film?.first.get(hit.lamp.name) ?? 0) + hit.group;
      const light = film ? ` · ${percent(lightOf[frameAt(film, live ? 0 : player.at)[at] ?? 0]!)} light` : '';
      return `${hit.lamp.name} · ${hit.lamp.groups[hit.group]?.name ?? ''}${light} · ${held ? ownerName(held, at) : ''}`;
    },
    [film, live],
  );
  return (
    <div class="signals-car">
      {live && <FastLive />}
      <CarPicture
        lamps={lamps}
        film={film}
        player={player}
        marks={marks.value}
        says={says}
        busy={live ? !benchOpen.value || !film : script.film.value.busy && !film}
        pick={(hit) => (picked.value = hit && (picked.peek()?.lamp !== hit.lamp.name || picked.peek()?.group !== hit.group) ? { lamp: hit.lamp.name, group: hit.group } : null)}
        ready={(p) => {
          picture.current = p;
          p.overlay = (ctx) => {
            const held = now.current();
            if (held) drawTags(ctx, p, held);
          };
        }}
      >
        <button class="quiet" aria-pressed={settings.value.raised} onClick={() => set({ raised: !settings.value.raised })} title="Show dim light brighter than it is">
          Raise dim light
        </button>
      </CarPicture>
    </div>
  );
}
