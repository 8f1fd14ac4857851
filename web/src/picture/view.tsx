// The picture as a view: the canvas, a readout in words, and tools to come nearer. All places use it.

import { useLayoutEffect, useRef } from 'preact/hooks';
import { frameAt, lightOf, type Film } from '../engine/film';
import type { Player } from '../engine/player';
import { percent } from '../engine/units';
import type { Lamp } from '../engine/types';
import { settings } from '../ui/state';
import { useGestures } from './gestures';
import { Picture, type Hit, type Mark } from './picture';

interface Props {
  id?: string; // of the readout, where there are two pictures
  lamps: Lamp[];
  film?: Film | null;
  player?: Player;
  levels?: { levels: Uint8Array; first: Map<string, number> }; // light that stands still, where there is no film
  marks?: Mark[];
  busy?: boolean; // the light is still being worked out
  ready?: (picture: Picture) => void; // for handles of a place's own
  pick?: (hit: Hit | null, e: PointerEvent | KeyboardEvent) => void;
  over?: (hit: Hit | null) => void;
  says?: (hit: Hit) => string; // what the readout says of a group, where its light is not the point
  children?: preact.ComponentChildren; // more tools
}

export function CarPicture({ lamps, film, player, levels, marks, ready, pick, over, says: words, busy, children, id = 'picture-says' }: Props) {
  const host = useRef<HTMLDivElement>(null);
  const says = useRef<HTMLParagraphElement>(null);
  const picture = useRef<Picture | null>(null);
  const under = useRef<Hit | null>(null);
  const light = useRef<{ levels: Uint8Array; first: Map<string, number> } | null>(null);

  const readout = () => {
    if (says.current) says.current.textContent = words && under.current ? words(under.current) : inWords(under.current, light.current);
  };

  useLayoutEffect(() => {
    const p = (picture.current = new Picture(host.current!));
    ready?.(p);
    return () => p.end();
  }, []);

  useLayoutEffect(() => picture.current!.setLamps(lamps), [lamps]);
  useLayoutEffect(() => picture.current!.setRaised(settings.value.raised), [settings.value.raised]);
  useLayoutEffect(() => picture.current!.setMarks(marks ?? []), [marks]);

  useLayoutEffect(() => { // with what is painted next, not after it
    if (film && player)
      return player.each((ms) => {
        light.current = { levels: frameAt(film, ms), first: film.first };
        picture.current!.show(light.current.levels, film.first);
        if (under.current) readout();
      });
    light.current = levels ?? null;
    picture.current!.show(levels?.levels ?? null, levels?.first ?? new Map());
    return undefined;
  }, [film, player, levels, lamps]);

  useGestures(host, picture, {
    over: (hit) => {
      under.current = hit;
      readout();
      over?.(hit);
    },
    pick: (hit, e) => pick?.(hit, e),
  });

  const drawn = lamps.filter((l) => l.leds.length > 0 || l.outline.length > 2).length;
  return (
    <div class="picture">
      <div ref={host} class="picture-host" tabIndex={0} role="application" aria-roledescription="picture of the car" aria-label={described(lamps)} aria-describedby={id} />
      {drawn === 0 && <p class="picture-none">{lamps.length === 0 ? 'No lamp can be shown yet.' : 'Nothing is drawn of the lamps yet.'}</p>}
      {busy && drawn > 0 && <p class="picture-busy">Working out the light…</p>}
      <div class="picture-tools">
        <p id={id} class="picture-says" ref={says} role="status">
          {inWords(null, null)}
        </p>
        {children}
        <div class="row" role="group" aria-label="Nearer and farther">
          <button class="quiet" aria-label="Farther" title="Farther (−)" onClick={() => picture.current!.zoomAt(1 / 1.5)}>
            −
          </button>
          <button class="quiet" aria-label="Nearer" title="Nearer (+)" onClick={() => picture.current!.zoomAt(1.5)}>
            +
          </button>
          <button class="quiet" title="Show all lamps (0)" onClick={() => picture.current!.whole()}>
            Whole
          </button>
        </div>
      </div>
    </div>
  );
}

function described(lamps: Lamp[]): string {
  if (lamps.length === 0) return 'No lamps yet';
  const side = (l: Lamp) => (l.place.side === 'centre' ? 'centre' : l.place.side);
  return 'Lamps. ' + lamps.map((l) => `${l.name}: ${l.place.end} ${side(l)}, ${l.leds.length} LEDs in ${l.groups.length} groups`).join('; ') + '. Arrow keys go from group to group.';
}

// inWords says a group with its colour by name, for colour alone says nothing to some.
function inWords(hit: Hit | null, light: { levels: Uint8Array; first: Map<string, number> } | null): string {
  if (!hit) return ' ';
  const group = hit.lamp.groups[hit.group];
  const first = light?.first.get(hit.lamp.name);
  const level = first === undefined ? undefined : light!.levels[first + hit.group];
  const lit = level === undefined ? '' : ` · ${percent(lightOf[level]!)} light`;
  return `${hit.lamp.name} · ${group?.name ?? ''} · ${group?.colour ?? 'unknown colour'}${lit}`;
}
