/** Moments, distribution and correlation of frames: for judging noise and random voltages. */

export interface Moments {
  readonly mean: number;
  /** Mean square deviation from the mean. */
  readonly variance: number;
  readonly skewness: number;
  /** Fourth standardised moment less 3: 0 for a normal, -1.2 for a uniform distribution. */
  readonly excessKurtosis: number;
}

export function momentsOf(values: ArrayLike<number>): Moments {
  const count = values.length;
  let mean = 0;
  for (let i = 0; i < count; i++) mean += (values[i] as number) / count;
  let second = 0;
  let third = 0;
  let fourth = 0;
  for (let i = 0; i < count; i++) {
    const d = (values[i] as number) - mean;
    second += (d * d) / count;
    third += (d * d * d) / count;
    fourth += (d * d * d * d) / count;
  }
  return { mean, variance: second, skewness: third / second ** 1.5, excessKurtosis: fourth / (second * second) - 3 };
}

/** Normalised autocorrelation at a lag, mean removed: 1 at lag 0. */
export function autocorrelation(values: ArrayLike<number>, lag: number): number {
  const { mean, variance } = momentsOf(values);
  let sum = 0;
  for (let i = 0; i + lag < values.length; i++) sum += ((values[i] as number) - mean) * ((values[i + lag] as number) - mean);
  return sum / (values.length * variance);
}

/** Correlation coefficient of two signals over the shorter one's length, -1..1. */
export function correlation(a: ArrayLike<number>, b: ArrayLike<number>): number {
  const count = Math.min(a.length, b.length);
  let meanA = 0;
  let meanB = 0;
  for (let i = 0; i < count; i++) {
    meanA += (a[i] as number) / count;
    meanB += (b[i] as number) / count;
  }
  let ab = 0;
  let aa = 0;
  let bb = 0;
  for (let i = 0; i < count; i++) {
    const da = (a[i] as number) - meanA;
    const db = (b[i] as number) - meanB;
    ab += da * db;
    aa += da * da;
    bb += db * db;
  }
  return ab / Math.sqrt(aa * bb);
}

/** Kolmogorov-Smirnov distance from the uniform distribution over low..high (0 = exactly uniform). */
export function uniformDistance(values: ArrayLike<number>, low: number, high: number): number {
  const sorted = Float64Array.from(values).sort();
  let distance = 0;
  for (let i = 0; i < sorted.length; i++) {
    const share = Math.min(1, Math.max(0, ((sorted[i] as number) - low) / (high - low)));
    distance = Math.max(distance, share - i / sorted.length, (i + 1) / sorted.length - share);
  }
  return distance;
}

/** Chi-square statistic of counts against equal expectation. */
export function chiSquare(counts: ArrayLike<number>): number {
  let total = 0;
  for (let i = 0; i < counts.length; i++) total += counts[i] as number;
  const expected = total / counts.length;
  let sum = 0;
  for (let i = 0; i < counts.length; i++) sum += ((counts[i] as number) - expected) ** 2 / expected;
  return sum;
}

/** How many values fall into each of `bins` equal bins of low..high; values outside are left out. */
export function histogram(values: ArrayLike<number>, low: number, high: number, bins: number): Uint32Array {
  const counts = new Uint32Array(bins);
  for (let i = 0; i < values.length; i++) {
    const value = values[i] as number;
    if (value < low || value > high) continue;
    const bin = Math.min(bins - 1, Math.floor(((value - low) / (high - low)) * bins));
    counts[bin] = (counts[bin] as number) + 1;
  }
  return counts;
}

/** Value below which the share 0..1 of all values lies, by a straight line between neighbours; NaN for none. */
export function quantile(values: ArrayLike<number>, share: number): number {
  const sorted = Float64Array.from(values).sort();
  const place = share * (sorted.length - 1);
  const low = sorted[Math.floor(place)] ?? Number.NaN;
  return low + ((sorted[Math.ceil(place)] ?? Number.NaN) - low) * (place - Math.floor(place));
}
