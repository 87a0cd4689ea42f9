/**
 * Pitch by the YIN method (A. de Cheveigne and H. Kawahara, "YIN, a fundamental frequency estimator for speech and music",
 * JASA 111(4), 2002): difference function, cumulative mean normalisation, absolute threshold, parabola. One step is added: the
 * same dip is then looked up at the largest multiple of the period that fits, which divides the parabola's error by that multiple.
 */

export interface Pitch {
  readonly hz: number;
  /** Aperiodic share: 0 = perfectly periodic, from about 0.1 up doubtful. */
  readonly aperiodicity: number;
}

export interface PitchRange {
  /** Lowest pitch looked for, in Hz; default 30. */
  readonly lowest?: number;
  /** Highest, in Hz; default rate / 4. */
  readonly highest?: number;
  /** A dip of the normalised difference below this is a period; default 0.1, as in the paper. */
  readonly threshold?: number;
}

/**
 * Pitch of frames `from` .. `to` - 1; undefined where no period is found (noise, silence, direct voltage).
 * The frames must hold at least two periods of the lowest pitch.
 */
export function pitchOf(
  samples: ArrayLike<number>,
  rate: number,
  range: PitchRange = {},
  from = 0,
  to = samples.length,
): Pitch | undefined {
  const { lowest = 30, highest = rate / 4, threshold = 0.1 } = range;
  const length = to - from;
  const longest = Math.min(Math.ceil(rate / lowest) + 1, Math.floor(length / 2));
  const shortest = Math.max(2, Math.floor(rate / highest));
  if (longest <= shortest + 1) return undefined;

  const window = length - longest - 1;
  const frames = Float64Array.from({ length }, (_, i) => samples[from + i] as number);
  const difference = (lag: number, count: number): number => {
    let sum = 0;
    for (let i = 0; i < count; i++) {
      const d = (frames[i] as number) - (frames[i + lag] as number);
      sum += d * d;
    }
    return sum;
  };

  const normalised = new Float64Array(longest + 1).fill(1);
  const at = (lag: number): number => normalised[lag] as number;
  let running = 0;
  // The first dip that is deep enough is the period, so longer lags need not be looked at. A short period falls between two
  // lags: a dip is as deep as the parabola through it.
  let period: number | undefined;
  let depth = 0;
  for (let next = 1; next <= longest && period === undefined; next++) {
    const d = difference(next, window);
    running += d;
    normalised[next] = running > 0 ? (d * next) / running : 1;
    const lag = next - 1;
    if (lag < shortest || at(lag) > at(lag - 1) || at(lag) > at(next)) continue;
    const offset = parabola(at(lag - 1), at(lag), at(next));
    depth = Math.max(0, at(lag) - ((at(lag - 1) - at(next)) * offset) / 4);
    if (depth < threshold) period = lag;
  }
  if (period === undefined) return undefined;

  let refined = period + parabola(at(period - 1), at(period), at(period + 1));
  // Multiples of the period, doubling: each estimate is good enough to find the next dip.
  for (let times = 2; ; times *= 2) {
    const lag = Math.round(refined * times);
    const count = length - lag - 2;
    if (count < 2 * refined || lag * 2 > length) break;
    const dip = parabola(difference(lag - 1, count), difference(lag, count), difference(lag + 1, count));
    if (Math.abs(dip) > 1) break;
    refined = (lag + dip) / times;
  }
  return { hz: rate / refined, aperiodicity: depth };
}

/** Offset of the lowest point of the parabola through three values at -1, 0, 1. */
function parabola(before: number, middle: number, after: number): number {
  const bow = before - 2 * middle + after;
  return bow > 0 ? (before - after) / (2 * bow) : 0;
}
