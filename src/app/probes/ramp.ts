/** Colours for levels: from paper to ink through one hue, even in lightness, so that greater is always further from the paper, in grey as well. Pure. */

export type Rgb = readonly [number, number, number];

/** Hex or rgb() as the browser gives it; black where it is neither. */
export function parseColour(text: string): Rgb {
  const hex = /^#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})/i.exec(text);
  if (hex) return [1, 2, 3].map((i) => Number.parseInt(hex[i] as string, 16)) as unknown as Rgb;
  const [r = 0, g = 0, b = 0] = (/^rgba?\(([^)]*)\)/.exec(text)?.[1] ?? '')
    .split(/[\s,/]+/)
    .filter(Boolean)
    .map(Number);
  return [r, g, b];
}

/** CIE 1976 lightness, 0..100, of an sRGB colour (IEC 61966-2-1; CIE 15). */
export function lightness([r, g, b]: Rgb): number {
  const linear = (value: number): number => (value <= 10.31475 ? value / 255 / 12.92 : ((value / 255 + 0.055) / 1.055) ** 2.4);
  const y = 0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b);
  return y <= 216 / 24389 ? (y * 24389) / 27 : 116 * Math.cbrt(y) - 16;
}

const STEPS = 256;

/** RGB triples of 256 steps from the first colour to the last; the middle one stands where its lightness lies between them. */
export function rampOf(from: Rgb, middle: Rgb, to: Rgb): Uint8ClampedArray {
  const [a, b, c] = [lightness(from), lightness(middle), lightness(to)];
  const bend = Math.min(0.9, Math.max(0.1, (b - a) / (c - a)));
  const ramp = new Uint8ClampedArray(3 * STEPS);
  for (let i = 0; i < STEPS; i++) {
    const place = i / (STEPS - 1);
    const [left, right, share] = place < bend ? [from, middle, place / bend] : [middle, to, (place - bend) / (1 - bend)];
    for (let k = 0; k < 3; k++) ramp[3 * i + k] = (left[k] as number) + ((right[k] as number) - (left[k] as number)) * share;
  }
  return ramp;
}
