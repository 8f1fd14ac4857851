// The shell: rail of places, top bar, the open place, the drawer, the status line, and what lies over them.

import { useEffect } from 'preact/hooks';
import { press } from '../engine/actions';
import { places } from '../places/registry';
import { dialog, job, panel, place, settings, state } from '../ui/state';
import { CommandForm } from './command';
import { Drawer } from './drawer';
import { keepFocus } from './keepfocus';
import { Keys } from './keys';
import { Messages } from './messages';
import { Palette } from './palette';
import { Rail } from './rail';
import { SettingsDialog } from './settings';
import { Start } from './start';
import { Status } from './status';
import { Top } from './top';

export function Shell() {
  useEffect(() => {
    const key = (e: KeyboardEvent) => {
      if (e.defaultPrevented || e.isComposing || dialog.peek()) return;
      if (press(e, settings.peek().letters)) e.preventDefault();
    };
    addEventListener('keydown', key);
    return () => removeEventListener('keydown', key);
  }, []);

  useEffect(keepFocus, []);

  const open = places.find((p) => p.id === place.value) ?? places[0]!;
  useEffect(() => {
    document.title = `${open.name} · ${job.value?.title || 'Lampwright'}`;
  }, [open.name, job.value?.title]);

  if (!job.value) {
    return (
      <>
        <main class="alone">{state.value.none ? <Start /> : <Opening />}</main>
        <Messages />
      </>
    );
  }
  const View = open.view;
  const over = dialog.value;
  return (
    <div class={`shell ${panel.value ? `with-drawer drawer-${panel.value}` : ''}`}>
      <a class="skip" href="#main" onClick={(e) => (e.preventDefault(), document.getElementById('main')?.focus())}>
        Skip to the place
      </a>
      <Top />
      <Rail />
      <main id="main" tabIndex={-1} aria-label={open.name}>
        {state.value.line === 'lost' && <Lost />}
        {job.value.problems.length > 0 && job.value.lamps.length === 0 && <Broken />}
        <View />
      </main>
      {panel.value && <Drawer />}
      <Status />
      <Messages />
      {over === 'palette' && <Palette />}
      {over === 'settings' && <SettingsDialog />}
      {over === 'keys' && <Keys />}
      {over && typeof over === 'object' && <CommandForm name={over.command} />}
    </div>
  );
}

function Opening() {
  return (
    <p class="opening" role="status">
      {state.value.line === 'lost' ? 'The workbench program does not answer. Look whether lampwright open still runs; this page goes on by itself.' : 'Opening the job…'}
    </p>
  );
}

// Broken says that pictures are older than the document, and leads to what must be mended.
function Broken() {
  return (
    <div class="broken" role="status">
      <span>
        <b>The document cannot be understood as it is.</b> {state.value.shown ? 'Pictures show it as it was before.' : 'There is no picture of it yet.'}
      </span>
      <button onClick={() => (panel.value = 'problems')}>Show what to mend</button>
    </div>
  );
}

function Lost() {
  return (
    <div class="lost" role="alert">
      <b>The workbench program does not answer.</b> What you see stays, and nothing can be changed until it runs again. If you ended it, start{' '}
      <code>lampwright open</code> once more and use the address that it prints; text that you have not taken over yet is kept in this browser.
    </div>
  );
}
