// Reading what a person has typed, for rulers and drags alone: the server reads every value again, strictly.

const times: Record<string, number> = { µs: 0.001, μs: 0.001, us: 0.001, ms: 1, s: 1000, min: 60_000, h: 3_600_000 };
const lengths: Record<string, number> = { mm: 1, cm: 10, m: 1000, in: 25.4, ft: 304.8 }; // inch and foot: exact by definition, BIPM SI Brochure and NIST SP 811

function quantity(text: string | undefined, units: Record<string, number>, bare: string): number | null {
  if (!text) return null;
  const m = /^\s*(-?)(?:(\d+)\s+)?(?:(\d+)\s*\/\s*(\d+)|(\d+(?:\.\d+)?))\s*([a-zµμ]*)\s*$/.exec(text);
  if (!m) return null;
  const unit = units[m[6] || bare];
  if (unit === undefined) return null;
  const whole = Number(m[2] ?? 0);
  const part = m[3] ? Number(m[3]) / Number(m[4]) : Number(m[5]);
  if (!Number.isFinite(part) || (m[2] && !m[3])) return null;
  return (m[1] ? -1 : 1) * (whole + part) * unit;
}

// milliseconds reads 300 ms, 1.5 s.
export const milliseconds = (text: string | undefined) => quantity(text, times, '');

// millimetres reads 12.5 mm, 1/2 in, and bare numbers of millimetres.
export const millimetres = (text: string | undefined) => quantity(text, lengths, 'mm');

// time writes a time the way the document likes it.
export function time(ms: number): string {
  const whole = Math.round(ms);
  return whole >= 1000 && whole % 100 === 0 ? `${whole / 1000} s` : `${whole} ms`;
}

// length writes a length in millimetres, to a hundredth.
export const length = (mm: number) => `${Number(mm.toFixed(2))} mm`;

// clock shows a moment, to a hundredth of a second, in a fixed number of digits.
export function clock(ms: number): string {
  const s = Math.max(0, ms) / 1000;
  const min = Math.floor(s / 60);
  const rest = (s - 60 * min).toFixed(2).padStart(5, '0');
  return min > 0 ? `${min}:${rest}` : rest;
}

export const percent = (share: number) => `${(share * 100).toFixed(share > 0 && share < 0.0995 ? 1 : 0)} %`;
