/** Round numbers for axes. Pure. */

/** Steps of 1, 2 or 5 times a power of ten, so that about `most` fit into `range`. */
export function roundStep(range: number, most: number): number {
  const raw = range / Math.max(1, most);
  const power = 10 ** Math.floor(Math.log10(raw));
  const share = raw / power;
  return power * (share <= 1 ? 1 : share <= 2 ? 2 : share <= 5 ? 5 : 10);
}

export function ticks(from: number, to: number, most: number): number[] {
  const step = roundStep(to - from, most);
  const first = Math.ceil(from / step - 1e-9);
  const last = Math.floor(to / step + 1e-9);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => (first + i) * step);
}

const halves = [0.1, 0.2, 0.5, 1, 2, 5, 6, 10, 12];

/** The smallest round range around what is shown: 0 to n for one-sided signals, else -n to n. */
export function fitVolts(lowest: number, highest: number): readonly [number, number] {
  if (!Number.isFinite(lowest) || !Number.isFinite(highest)) return [-5, 5];
  const most = Math.max(Math.abs(lowest), Math.abs(highest));
  const half = halves.find((value) => value >= most * 0.98) ?? 12;
  return lowest >= -0.02 * half && highest > 0 ? [0, half === 6 ? 10 : half] : [-half, half];
}

/** A time on an axis that reaches to `most` seconds in steps of `step`: "12.5 ms", "3 s", "5.39585 s". */
export function timeText(seconds: number, step: number, most: number): string {
  const [unit, factor] = most >= 1 ? (['s', 1] as const) : most >= 0.001 ? (['ms', 1e3] as const) : (['µs', 1e6] as const);
  const decimals = Math.min(9, Math.max(0, Math.ceil(-Math.log10(step * factor) - 1e-9)));
  return `${(seconds * factor).toFixed(decimals)} ${unit}`;
}

/** Hertz on a logarithmic axis, 0..1. */
export function place(hz: number, from: number, to: number): number {
  return Math.log(hz / from) / Math.log(to / from);
}
