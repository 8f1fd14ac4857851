// Inks of the picture: LED colours on a screen, and soft spots of light drawn once and stamped many times.

import { lightOf } from '../engine/film';

type RGB = [number, number, number]; // linear light in the primaries of IEC 61966-2-1, 0..1

const tints: Record<string, RGB> = {
  red: hex(0xff2412),
  amber: hex(0xff8a00),
  yellow: hex(0xffc400),
  white: hex(0xe8f0ff),
  'warm-white': hex(0xffe2b8),
  green: hex(0x20e060),
  blue: hex(0x3070ff),
};

const unknown = hex(0xc8c8c8);

export const tintOf = (colour: string): RGB => tints[colour] ?? unknown;

// css gives a tint at a share of its light, for bands and legends.
export function css(colour: string, light = 1): string {
  const [r, g, b] = bytesOf(colour, light);
  return `rgb(${r} ${g} ${b})`;
}

export function bytesOf(colour: string, light: number): RGB {
  return tintOf(colour).map((v) => Math.round(encode(v * light) * 255)) as RGB;
}

function hex(code: number): RGB {
  return [16, 8, 0].map((shift) => decode(((code >> shift) & 255) / 255)) as RGB;
}

// decode and encode are the transfer curve of IEC 61966-2-1.
function decode(v: number): number {
  return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
}

function encode(v: number): number {
  const c = Math.min(1, Math.max(0, v));
  return c <= 0.0031308 ? c * 12.92 : 1.055 * c ** (1 / 2.4) - 0.055;
}

export const steps = 40; // of light between dark and full: spots of one size are drawn once for each

const raise = 0.55; // exponent that lifts dim light when it is shown brighter than it is

// stepOf gives for each level which spot shows it; 0 is none.
export function stepOf(raised: boolean): Uint8Array {
  return Uint8Array.from(lightOf, (y) => (y <= 0 ? 0 : Math.max(1, Math.round(encode(raised ? y ** raise : y) * steps))));
}

// Spots is a sheet of soft spots of one colour and size, from dim to full, side by side.
export class Spots {
  readonly size: number; // dots, of one spot
  readonly sheet: HTMLCanvasElement;

  constructor(colour: string, radius: number) {
    const tint = tintOf(colour);
    this.size = 2 * Math.ceil(radius * 2.4) + 1;
    this.sheet = document.createElement('canvas');
    this.sheet.width = this.size * (steps + 1);
    this.sheet.height = this.size;
    const ctx = this.sheet.getContext('2d')!;
    const middle = (this.size - 1) / 2;
    const data = ctx.createImageData(this.sheet.width, this.size);
    for (let step = 1; step <= steps; step++) {
      const light = decode(step / steps);
      for (let y = 0; y < this.size; y++) {
        for (let x = 0; x < this.size; x++) {
          const d = Math.hypot(x - middle, y - middle) / radius;
          const core = Math.exp(-((d * 1.15) ** 4));
          const glow = 0.16 * Math.exp(-((d / 1.25) ** 2)) * Math.max(0, 1 - d / 2.4);
          const pale = 0.5 * light * light * Math.exp(-((d * 2.4) ** 2)); // a bright core looks paler, as a camera sees it
          const i = 4 * (y * this.sheet.width + step * this.size + x);
          for (let c = 0; c < 3; c++) data.data[i + c] = 255 * encode(light * (tint[c]! * (core + glow) + pale * (1 - tint[c]!)));
          data.data[i + 3] = 255;
        }
      }
    }
    ctx.putImageData(data, 0, 0);
  }
}

const kept = new Map<string, Spots>();

export function spots(colour: string, radius: number): Spots {
  const r = Math.max(0.75, Math.round(radius * 4) / 4);
  const key = `${colour} ${r}`;
  let s = kept.get(key);
  if (!s) {
    if (kept.size > 80) kept.clear();
    kept.set(key, (s = new Spots(colour, r)));
  }
  return s;
}
