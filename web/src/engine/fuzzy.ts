// Fuzzy finding: the letters typed must occur in order; runs and beginnings of words count more.

export function score(typed: string, text: string): number {
  const want = typed.toLowerCase().replace(/\s+/g, '');
  const have = text.toLowerCase();
  if (want === '') return 1;
  let best = 0;
  for (let from = have.indexOf(want[0]!); from >= 0; from = have.indexOf(want[0]!, from + 1)) {
    best = Math.max(best, along(want, have, from));
  }
  return best;
}

function along(want: string, have: string, from: number): number {
  let sum = 0;
  let at = from;
  let run = 0;
  for (let i = 0; i < want.length; i++) {
    const found = have.indexOf(want[i]!, at);
    if (found < 0) return 0;
    const first = found === 0 || /[^a-z0-9]/.test(have[found - 1]!);
    run = i > 0 && found === at ? run + 1 : 0;
    sum += 1 + 2 * run + (first ? 3 : 0) - Math.min(found - at, 8) * 0.05;
    at = found + 1;
  }
  return Math.max(sum, 0.01) + 0.5 / have.length;
}

// find gives the items that fit, best first; equals stay in their order.
export function find<T>(typed: string, items: T[], text: (item: T) => string): T[] {
  return items
    .map((item, i) => ({ item, i, s: score(typed, text(item)) }))
    .filter((x) => x.s > 0)
    .sort((a, b) => b.s - a.s || a.i - b.i)
    .map((x) => x.item);
}
