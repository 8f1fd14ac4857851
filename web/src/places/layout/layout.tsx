// Layout: the lamp at true scale, over a photo of it. LEDs, groups, zones, light paths and outline are drawn here.

import { useEffect } from 'preact/hooks';
import { wantCatalogue } from '../../ui/catalogue';
import { Unreadable } from '../../ui/unreadable';
import { form as schema, inspect, job, panel } from '../../ui/state';
import { Bar } from './bar';
import { Canvas, whole, zoom } from './canvas';
import { Chosen } from './chosen';
import { NewLamp, OppositeHand } from './forms';
import { Groups } from './groups';
import { clipboard, offerAll } from './keys';
import { LampFacts } from './lampfacts';
import { NextStep } from './next';
import { PhotoPanel } from './photopanel';
import { Readout } from './readout';
import { chosen, drawing, form, lampName, openTab, showLamp, tab, tool, type Tab } from './state';
import { ToolOptions, Tools } from './tools';

export function LayoutPlace() {
  useEffect(wantCatalogue, []);
  useEffect(() => offerAll(), []);
  useEffect(() => clipboard(), []);
  const d = drawing.value;
  if (!d)
    return (
      <div class="empty-place">
        <h2>{lampName.value ? `Lamp ${lampName.value} cannot be shown` : 'No lamp yet'}</h2>
        {lampName.value ? (
          <>
            <p>What is written of it cannot be understood. The problems say where, and what to do.</p>
            <button class="strong" onClick={() => (panel.value = 'problems')}>
              Show what to mend
            </button>
          </>
        ) : job.value!.tree === null ? (
          <Unreadable />
        ) : (
          <NewLamp />
        )}
      </div>
    );
  return (
    <div class="layout">
      <Bar />
      {d.current ? d.hand && <Hand of={d.on} /> : job.value!.lamps.length > 0 && <Stale name={d.lamp.name} />}
      <Tools />
      <div class="sheet">
        <div class="sheet-over">
          <Canvas />
          <div class="sheet-zoom" role="group" aria-label="Nearer and farther">
            <button class="quiet" aria-label="Farther" title="Farther (−)" onClick={() => zoom(1 / 1.5)}>
              −
            </button>
            <button class="quiet" aria-label="Nearer" title="Nearer (+)" onClick={() => zoom(1.5)}>
              +
            </button>
            <button class="quiet" title="Show the whole lamp (0)" onClick={whole}>
              Whole
            </button>
          </div>
        </div>
        <Readout />
      </div>
      <aside class="layout-panel" aria-label="Drawing">
        {form.value === 'lamp' && <NewLamp />}
        {form.value === 'hand' && <OppositeHand d={d} />}
        {form.value === null && (
          <>
            <Tabs />
            <div class="layout-body" key={tab.value}>
              {tab.value === 'draw' && (tool.value !== 'choose' ? <ToolOptions /> : null)}
              {tab.value === 'draw' && (chosen.value.length > 0 ? <Chosen d={d} /> : tool.value === 'choose' && <LampFacts d={d} />)}
              {tab.value === 'groups' && <Groups d={d} />}
              {tab.value === 'photo' && <PhotoPanel d={d} />}
            </div>
            {tab.value !== 'photo' && <NextStep d={d} />}
          </>
        )}
      </aside>
    </div>
  );
}

function Tabs() {
  const tabs: [Tab, string][] = [
    ['draw', 'Draw'],
    ['groups', 'Groups'],
    ['photo', 'Photo'],
  ];
  return (
    <div class="layout-tabs" role="group" aria-label="Panels of the drawing">
      {tabs.map(([t, name]) => (
        <button class="tab" aria-pressed={tab.value === t} onClick={() => openTab(t)}>
          {name}
        </button>
      ))}
    </div>
  );
}

function Hand({ of }: { of: string }) {
  return (
    <p class="layout-note" role="status">
      <span>This lamp is the opposite hand of {of}, and drawn there.</span>
      <button onClick={() => showLamp(of)}>Draw on {of}</button>
    </p>
  );
}

// Stale says that the drawing is older than the document.
function Stale({ name }: { name: string }) {
  return (
    <p class="layout-note warn" role="status">
      <span>
        <b>{name} cannot be understood as it is written.</b> It is shown as it was before.
      </span>
      <button onClick={() => (panel.value = 'problems')}>Show what to mend</button>
      {schema.value && <button onClick={() => inspect(['lamps', name])}>Inspect</button>}
    </p>
  );
}
