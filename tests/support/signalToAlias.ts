/** Alias by coherent sampling: a tone with `cycles` whole periods (odd) in a power of two of frames, no window; every other bin is alias. */
import { coherentSpectrum } from '../../src/measure/spectrum.ts';

/** Frames of one analysis. */
export const ALIAS_FRAMES = 65536;

/** Whole odd cycles per analysis nearest to `hz`. */
export function cyclesOf(hz: number, rate: number): number {
  return 2 * Math.round(((hz * ALIAS_FRAMES) / rate - 1) / 2) + 1;
}

/** A wave of `cycles` periods per analysis; `shape` gets the place in the period, 0..1. */
export function coherentTone(
  cycles: number,
  volts: number,
  shape = (p: number): number => Math.sin(2 * Math.PI * p),
): (n: number) => number {
  return (n) => volts * shape(((cycles * n) % ALIAS_FRAMES) / ALIAS_FRAMES);
}

/**
 * Power of the harmonics over the power of everything else below `limit` Hz, in dB, direct voltage left out: of the last analysis
 * that fits into the signal.
 */
export function signalToAlias(signal: Float32Array, cycles: number, rate: number, limit = rate / 2): number {
  const amplitudes = coherentSpectrum(signal, signal.length - ALIAS_FRAMES, ALIAS_FRAMES);
  let harmonics = 0;
  let alias = 0;
  for (let bin = 1; bin <= (limit / rate) * ALIAS_FRAMES; bin++) {
    const power = (amplitudes[bin] as number) ** 2;
    if (bin % cycles === 0) harmonics += power;
    else alias += power;
  }
  return 10 * Math.log10(harmonics / alias);
}
