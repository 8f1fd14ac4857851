// What a person sets for this browser. It lives in local storage and nowhere else.

export interface Settings {
  theme: 'system' | 'light' | 'dark';
  size: 'normal' | 'large' | 'larger';
  letters: boolean; // keys without Ctrl switch places and panels (WCAG 2.1.4 asks that this can be off)
  raised: boolean; // dim light is shown brighter than it is
}

const standard: Settings = { theme: 'system', size: 'normal', letters: true, raised: false };
const where = 'lampwright.settings';

export function readSettings(): Settings {
  const kept = read(where);
  return { ...standard, ...(kept && typeof kept === 'object' ? kept : {}) };
}

export function keepSettings(s: Settings) {
  write(where, s);
}

// read and write forgive a browser that keeps nothing.
export function read(key: string): any {
  try {
    return JSON.parse(localStorage.getItem(key) ?? 'null');
  } catch {
    return null;
  }
}

export function write(key: string, value: unknown) {
  try {
    if (value === null) localStorage.removeItem(key);
    else localStorage.setItem(key, JSON.stringify(value));
  } catch {
    // a private window: what is set lasts as long as the page
  }
}

// dress puts the settings on the page.
export function dress(s: Settings, root: HTMLElement) {
  root.dataset.theme = s.theme;
  root.dataset.size = s.size;
}

export const calm = () => matchMedia('(prefers-reduced-motion: reduce)').matches;
