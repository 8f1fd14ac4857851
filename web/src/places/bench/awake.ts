// Keeps the screen of a tablet awake while the bench is open, where the browser can; says which it is.

import { useSignal, type Signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';

export function useAwake(): Signal<string> {
  const says = useSignal('');
  useEffect(() => {
    let lock: WakeLockSentinel | null = null;
    let gone = false;
    const ask = async () => {
      if (document.hidden || lock) return;
      if (!('wakeLock' in navigator)) return void (says.value = 'This browser lets the screen sleep');
      try {
        lock = await navigator.wakeLock.request('screen');
        if (gone) return void lock.release();
        says.value = 'The screen stays awake';
        lock.addEventListener('release', () => {
          lock = null;
          says.value = '';
        });
      } catch {
        says.value = 'The screen may sleep'; // low battery, or not allowed
      }
    };
    void ask();
    document.addEventListener('visibilitychange', ask);
    return () => {
      gone = true;
      document.removeEventListener('visibilitychange', ask);
      void lock?.release();
    };
  }, []);
  return says;
}
