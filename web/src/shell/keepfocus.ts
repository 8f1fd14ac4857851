// Keeping the place of somebody who works by keys: when what has the focus is taken out of the page, the focus goes to what stands next to
// it, and not to nowhere, from where Tab begins at the top.

const focusable = 'a[href], button, input, select, textarea, summary, [tabindex]:not([tabindex="-1"])';
const settleMs = 60; // a view that sets the focus itself goes first

// keepFocus watches the page until the function that it gives is called.
export function keepFocus(): () => void {
  let byKeys = false;
  let last: Element | null = null;
  let chain: Element[] = []; // what last stood in, the nearest first
  let order: Element[] = []; // everything that could have the focus then
  let timer = 0;

  const keys = () => (byKeys = true);
  const pointer = () => (byKeys = false); // a hand looks where it goes next, and a field would call up a keyboard
  const focused = (e: FocusEvent) => {
    last = e.target as Element;
    chain = [];
    for (let p = last.parentElement; p; p = p.parentElement) chain.push(p);
    order = [...document.querySelectorAll(focusable)];
  };
  const rescue = () => {
    if (!last || last.isConnected || document.activeElement !== document.body || !byKeys || document.querySelector('dialog[open]')) return;
    const at = order.indexOf(last);
    for (const root of chain.filter((c) => c.isConnected && document.getElementById('main')?.parentElement?.contains(c))) {
      const could = (e: Element) => root.contains(e) && e.isConnected && (e as HTMLElement).offsetParent !== null && e.ariaDisabled !== 'true';
      const next = order.slice(at + 1).find(could) ?? order.slice(0, at).findLast(could) ?? [...root.querySelectorAll(focusable)].find(could);
      if (!next) continue;
      (next as HTMLElement).focus({ preventScroll: false });
      return;
    }
    document.getElementById('main')?.focus();
  };
  const seen = new MutationObserver(() => {
    if (!last || last.isConnected || !byKeys) return;
    clearTimeout(timer);
    timer = window.setTimeout(rescue, settleMs);
  });
  addEventListener('keydown', keys, true);
  addEventListener('pointerdown', pointer, true);
  addEventListener('focusin', focused);
  seen.observe(document.body, { childList: true, subtree: true });
  return () => {
    removeEventListener('keydown', keys, true);
    removeEventListener('pointerdown', pointer, true);
    removeEventListener('focusin', focused);
    seen.disconnect();
    clearTimeout(timer);
  };
}
