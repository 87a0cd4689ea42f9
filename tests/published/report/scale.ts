/** Axes: where a value stands, which values are named, and how they are written. */
import type { Axis, Point } from '../check.ts';

export interface Scale {
  readonly from: number;
  readonly to: number;
  /** Values with a name, and finer ones with a line only. */
  readonly ticks: readonly number[];
  readonly fine: readonly number[];
  /** Share of the way from the first to the last value, not clipped. */
  at(value: number): number;
  write(value: number): string;
}

const superscripts: Readonly<Record<string, string>> = {
  '-': '\u207b',
  '0': '\u2070',
  '1': '\u00b9',
  '2': '\u00b2',
  '3': '\u00b3',
  '4': '\u2074',
  '5': '\u2075',
  '6': '\u2076',
  '7': '\u2077',
  '8': '\u2078',
  '9': '\u2079',
};

/** A number for reading: a true minus sign, powers of ten where it is very small. */
export function written(value: number, digits = 3): string {
  if (!Number.isFinite(value)) return Number.isNaN(value) ? 'none' : value > 0 ? '\u221e' : '\u2212\u221e';
  if (value !== 0 && Math.abs(value) < 1e-3) {
    const [mantissa = '', exponent = ''] = value.toExponential(Math.max(0, digits - 2)).split('e');
    const power = [...String(Number(exponent))].map((sign) => superscripts[sign] ?? sign).join('');
    return `${Number(mantissa)}\u2009\u00d7\u200910${power}`.replace('-', '\u2212');
  }
  const places = Math.max(0, digits - 1 - Math.floor(Math.log10(Math.max(Math.abs(value), 1e-9))));
  return String(Number(value.toFixed(Math.min(places, 6)))).replace('-', '\u2212');
}

/** 20, 500, 1k, 16k. */
const hertz = (value: number): string => (value >= 1000 ? `${Number((value / 1000).toFixed(2))}k` : String(Number(value.toFixed(2))));

function niceStep(span: number, count: number): number {
  const rough = span / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  return (([1, 2, 5, 10] as const).find((step) => step * power >= rough) ?? 10) * power;
}

function multiples(from: number, to: number, step: number): number[] {
  const first = Math.ceil(from / step - 1e-9);
  const last = Math.floor(to / step + 1e-9);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => Number(((first + i) * step).toPrecision(12)));
}

export function linearScale(from: number, to: number, count = 6): Scale {
  const step = niceStep(to - from, count);
  return {
    from,
    to,
    ticks: multiples(from, to, step),
    fine: [],
    at: (value) => (value - from) / (to - from),
    write: (value) => written(value),
  };
}

/** Decades with lines at every digit; names at 1, 2 and 5 where there is room. */
export function logScale(from: number, to: number, count = 7): Scale {
  const decades = Math.log10(to / from);
  const digits = decades > 0.23 * count ? [1, 2, 5] : [1, 2, 3, 4, 5, 7];
  const named: number[] = [];
  const fine: number[] = [];
  for (let power = Math.floor(Math.log10(from)); power <= Math.ceil(Math.log10(to)); power++) {
    for (let digit = 1; digit < 10; digit++) {
      const value = Number((digit * 10 ** power).toPrecision(6));
      if (value < from * 0.999 || value > to * 1.001) continue;
      (digits.includes(digit) ? named : fine).push(value);
    }
  }
  return { from, to, ticks: named, fine, at: (value) => Math.log(value / from) / Math.log(to / from), write: hertz };
}

/**
 * A scale round 0 that holds `reach`, for small deviations: three named values, as multiples of a power of ten that stands in the
 * axis' title.
 */
export function deviationScale(reach: number): { readonly scale: Scale; readonly power: string } {
  const decade = 10 ** Math.floor(Math.log10(0.9 * reach));
  const mark = decade * (([5, 2] as const).find((digit) => digit * decade <= 0.9 * reach) ?? 1);
  const exponent = mark >= 0.01 ? 0 : 3 * Math.floor(Math.log10(mark * 1.001) / 3);
  const scale = { ...linearScale(-reach, reach), ticks: [-mark, 0, mark], write: (value: number) => written(value / 10 ** exponent) };
  return { scale, power: exponent === 0 ? '' : `10${[...String(exponent)].map((sign) => superscripts[sign] ?? sign).join('')}` };
}

/** The scale of an axis; what it leaves open comes from the points. */
export function scaleOf(axis: Axis, points: readonly Point[], of: 'x' | 'y', count = of === 'x' ? 7 : 5): Scale {
  const values = points.map((point) => point[of]).filter(Number.isFinite);
  const low = axis.from ?? Math.min(...values);
  const high = axis.to ?? Math.max(...values);
  const [from, to] = high > low ? [low, high] : [low - 1, high + 1];
  return axis.log ? logScale(from, to, count) : linearScale(from, to, count);
}
