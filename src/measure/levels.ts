/** Peak, effective value and direct part of a signal, and decibels. */

/** 10 V are digital full scale (0 dBFS). */
export const FULL_SCALE_VOLTS = 10;

/** In the unit of the samples. */
export interface Levels {
  /** Largest absolute value. */
  readonly peak: number;
  /** Root mean square, the direct part included. */
  readonly rms: number;
  /** Mean: direct voltage. */
  readonly dc: number;
}

/** Levels of frames from..to-1; all 0 for an empty range, NaN where a sample is NaN. */
export function levelsOf(samples: ArrayLike<number>, from = 0, to = samples.length): Levels {
  let peak = 0;
  let squares = 0;
  let sum = 0;
  for (let i = from; i < to; i++) {
    const x = samples[i] as number;
    const size = Math.abs(x);
    if (!(size <= peak)) peak = size;
    squares += x * x;
    sum += x;
  }
  const count = to - from;
  return count > 0
    ? { peak: Number.isNaN(sum) ? Number.NaN : peak, rms: Math.sqrt(squares / count), dc: sum / count }
    : { peak: 0, rms: 0, dc: 0 };
}

/** 20 log10 of an amplitude ratio; -Infinity for 0. */
export function toDb(ratio: number): number {
  return 20 * Math.log10(Math.abs(ratio));
}

export function fromDb(db: number): number {
  return 10 ** (db / 20);
}

/** Level of a voltage in dB relative to digital full scale. */
export function voltsToDbfs(volts: number): number {
  return toDb(volts / FULL_SCALE_VOLTS);
}
