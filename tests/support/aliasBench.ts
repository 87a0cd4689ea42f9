/**
 * Alias, measured coherently: all that moves makes whole odd numbers of cycles in 65536 frames, so that every true line falls on a
 * multiple of their common divisor `grid`, and what folds at the rate (a power of two of bins) falls between. Levels are relative to
 * the strongest true line. Signals are read at the engine rate; a decimator behind it removes what lies above the band measured.
 */
import { createAnalyser } from '../../src/measure/spectrum.ts';

/** Frames of one analysis, and those before it that are left out. */
export const ALIAS_FRAMES = 65536;
export const SETTLE = 8192;

const outputRate = 48000;
const analyser = createAnalyser(ALIAS_FRAMES, 'none');

export interface AliasBench {
  readonly quality: 1 | 2 | 4 | 8;
  /** Highest frequency measured, Hz. */
  readonly top: number;
  /** Hz of a number of cycles in 65536 frames, and an odd number of cycles near a frequency. */
  hz(cycles: number): number;
  cycles(hz: number): number;
}

export function aliasBench(quality: 1 | 2 | 4 | 8): AliasBench {
  const rate = outputRate * quality;
  return {
    quality,
    top: quality === 1 ? 16000 : 20000,
    hz: (cycles) => (cycles * rate) / ALIAS_FRAMES,
    cycles: (hz) => 2 * Math.round((hz * ALIAS_FRAMES) / rate / 2 - 0.5) + 1,
  };
}

export interface AliasReading {
  /** Strongest alias line up to `top`, dB re the strongest true line. */
  readonly worst: number;
  /** Power of all true lines over that of everything else up to `top`, dB. */
  readonly ratio: number;
  /** Amplitude of every bin up to `top`, the unit of the signal. */
  readonly lines: Float64Array;
  readonly strongest: number;
}

/** Reads the settled part of a signal: frames from SETTLE on. */
export function readAlias(signal: ArrayLike<number>, grid: number, bench: AliasBench, top = bench.top): AliasReading {
  const lines = analyser.amplitudes(signal, SETTLE).slice(0, Math.floor(top / bench.hz(1)) + 1);
  let [alias, strongest, power, rest] = [0, 0, 0, 0];
  for (let bin = 1; bin < lines.length; bin++) {
    const volts = lines[bin] as number;
    if (bin % grid === 0) {
      strongest = Math.max(strongest, volts);
      power += volts ** 2;
    } else {
      alias = Math.max(alias, volts);
      rest += volts ** 2;
    }
  }
  return { worst: 20 * Math.log10(alias / strongest), ratio: 10 * Math.log10(power / rest), lines, strongest };
}

/** A sine of whole cycles in 65536 frames. */
export const coherentSine =
  (cycles: number, volts: number): ((frame: number) => number) =>
  (n) =>
    volts * Math.sin((2 * Math.PI * cycles * n) / ALIAS_FRAMES);
