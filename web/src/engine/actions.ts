// Actions: everything that a person can do here, each once. The palette, keys and buttons all call the same object.

export interface Action {
  id: string;
  says: string; // as the palette lists it
  more?: string; // what else it can be found by
  keys?: string[]; // such as Ctrl+K, Shift+F8, or a single letter
  ready?: () => boolean; // absent: always
  run: () => void;
}

const all = new Map<string, Action>();
const givers = new Set<() => Action[]>();

export function offer(...actions: Action[]): () => void {
  for (const a of actions) all.set(a.id, a);
  return () => {
    for (const a of actions) if (all.get(a.id) === a) all.delete(a.id);
  };
}

// offerMany adds actions that depend on what is open: the lamps of the job, the commands of the server.
export function offerMany(give: () => Action[]): () => void {
  givers.add(give);
  return () => givers.delete(give);
}

export function actions(): Action[] {
  return [...all.values(), ...[...givers].flatMap((give) => give())].filter((a) => a.ready?.() ?? true);
}

// keyOf names a key press the way actions do.
export function keyOf(e: KeyboardEvent): string {
  let name = e.key.length === 1 ? e.key.toUpperCase() : e.key;
  if (name === ' ') name = 'Space';
  const shift = e.shiftKey && (e.key.length > 1 || /[A-Z]/i.test(e.key));
  return (e.ctrlKey || e.metaKey ? 'Ctrl+' : '') + (e.altKey ? 'Alt+' : '') + (shift ? 'Shift+' : '') + name;
}

export const inText = (target: EventTarget | null) =>
  target instanceof HTMLElement && (target.isContentEditable || target.matches('textarea, select, input:not([type=checkbox], [type=radio], [type=range], [type=button])'));

// press finds and runs the action of a key. Single characters count only when letters is set and nobody writes; keys that a
// focused control needs stay its own.
export function press(e: KeyboardEvent, letters: boolean): boolean {
  const key = keyOf(e);
  const target = e.target instanceof HTMLElement ? e.target : null;
  if (inText(target)) {
    if (!/^(Ctrl|Alt)\+|^(Shift\+)?F\d+$|^Escape$/.test(key)) return false;
    if (/^Ctrl\+(Shift\+)?[ZY]$/.test(key) && target?.dataset.draft) return false; // the browser's own undo, of what is being typed
  } else {
    if (key.length === 1 && !letters) return false;
    if ((key === 'Space' || key === 'Enter') && target?.closest('button, a, summary, input, [role=button]')) return false;
  }
  for (const a of all.values()) {
    if (a.keys?.includes(key) && (a.ready?.() ?? true)) {
      a.run();
      return true;
    }
  }
  return false;
}
