/** Spectra of stretches that are longer than one analysis, and single lines in them. */
import type { Analyser } from './spectrum.ts';

/**
 * Amplitudes of frames from..to-1: root of the mean power of analyses that overlap by half or more (P. D. Welch, IEEE Trans. Audio
 * Electroacoust. 15(2), 1967), spread evenly, at most `most` of them. A stretch shorter than one analysis is looked at about its middle, with what lies
 * around it.
 */
export function averageAmplitudes(analyser: Analyser, samples: ArrayLike<number>, from: number, to: number, most = 32): Float64Array {
  const { size } = analyser;
  const room = to - from - size;
  const passes = room <= 0 ? 1 : Math.min(most, Math.ceil((2 * room) / size) + 1);
  const power = new Float64Array(size / 2 + 1);
  for (let pass = 0; pass < passes; pass++) {
    const at = passes === 1 ? from + room / 2 : from + (room * pass) / (passes - 1);
    const last = Math.max(0, samples.length - size);
    const amplitudes = analyser.amplitudes(samples, Math.round(Math.min(last, Math.max(0, at))));
    for (let b = 0; b < power.length; b++) power[b] = (power[b] as number) + (amplitudes[b] as number) ** 2 / passes;
  }
  return power.map(Math.sqrt);
}

export interface SpectralPeak {
  /** Place in bins, between them. */
  readonly bin: number;
  /** In the unit of the levels (dB). */
  readonly level: number;
}

/**
 * The highest peak whose bin lies within from..to, placed between bins by the parabola through its three levels in dB (J. O. Smith
 * and X. Serra, PARSHL, ICMC 1987); undefined where the highest level there is no peak but a flank.
 */
export function peakBetween(levels: ArrayLike<number>, from: number, to: number): SpectralPeak | undefined {
  let best: number | undefined;
  for (let b = Math.max(1, Math.ceil(from)); b <= Math.min(levels.length - 2, to); b++) {
    const level = levels[b] as number;
    if (level <= (levels[b - 1] as number) || level < (levels[b + 1] as number)) continue;
    if (best === undefined || level > (levels[best] as number)) best = b;
  }
  if (best === undefined) return undefined;
  const [before, middle, after] = [levels[best - 1], levels[best], levels[best + 1]] as [number, number, number];
  const offset = (before - after) / (2 * (before - 2 * middle + after));
  return { bin: best + offset, level: middle - ((before - after) * offset) / 4 };
}
