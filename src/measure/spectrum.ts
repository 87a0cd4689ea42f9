/// <reference path="./fftjs.d.ts" />
/**
 * Amplitude spectra. A sine of amplitude A volts reads A volts (20 log10 A dB re 1 V), whatever the window; direct voltage
 * reads its absolute value in bin 0.
 */
import FFT from 'fft.js';

/**
 * `hann`: close lines. `blackmanHarris`: side lobes below -92 dB (F. J. Harris, Proc. IEEE 66(1), 1978).
 * `sevenTerm`: below -180 dB, for measuring (H.-H. Albrecht, ICASSP 2001; coefficients from memory, side lobes tested).
 * `none`: for whole periods only.
 */
export type WindowShape = 'none' | 'hann' | 'blackmanHarris' | 'sevenTerm';

const cosines: Readonly<Record<WindowShape, readonly number[]>> = {
  none: [1],
  hann: [0.5, 0.5],
  blackmanHarris: [0.35875, 0.48829, 0.14128, 0.01168],
  sevenTerm: [0.27105140069342, 0.43329793923448, 0.21812299954311, 0.06592544638803, 0.01081174209837, 0.00077658482522, 0.00001388721735],
};

/** Periodic window of `size` frames. */
export function windowOf(shape: WindowShape, size: number): Float64Array {
  const terms = cosines[shape];
  return Float64Array.from({ length: size }, (_, n) =>
    terms.reduce((sum, term, k) => sum + (k % 2 === 0 ? term : -term) * Math.cos((2 * Math.PI * k * n) / size), 0),
  );
}

export interface Analyser {
  /** Frames per analysis. */
  readonly size: number;
  /** Amplitudes per bin (size / 2 + 1 of them; bin b lies at b x rate / size) of the `size` frames from `from` on; frames beyond the end are 0. */
  amplitudes(samples: ArrayLike<number>, from?: number): Float64Array;
}

/** Keeps its tables and buffers for many analyses; the result is reused by the next call. `size` is a power of two, at least 4. */
export function createAnalyser(size: number, shape: WindowShape): Analyser {
  if (size < 4 || (size & (size - 1)) !== 0) throw new RangeError(`An analysis takes a power of two of frames, at least 4, not ${size}.`);
  const fft = new FFT(size);
  const window = windowOf(shape, size);
  const gain = 2 / window.reduce((sum, w) => sum + w, 0);
  const frames = new Float64Array(size);
  const bins = new Float64Array(2 * size);
  const result = new Float64Array(size / 2 + 1);
  return {
    size,
    amplitudes(samples, from = 0) {
      for (let i = 0; i < size; i++) frames[i] = (samples[from + i] ?? 0) * (window[i] as number);
      fft.realTransform(bins, frames);
      for (let b = 0; b < result.length; b++) {
        const edge = b === 0 || b === size / 2 ? 0.5 : 1;
        const [real, imaginary] = [bins[2 * b] as number, bins[2 * b + 1] as number];
        // Not Math.hypot: it is many times slower, and nothing here comes near its range.
        result[b] = gain * edge * Math.sqrt(real * real + imaginary * imaginary);
      }
      return result;
    },
  };
}

/** Amplitudes in dB re 1 V, no lower than `floor`. */
export function toDecibels(amplitudes: ArrayLike<number>, floor = -200): Float64Array {
  return Float64Array.from(amplitudes, (amplitude) => Math.max(floor, 20 * Math.log10(amplitude)));
}

/** One spectrum in dB re 1 V: for read-outs that are taken once. */
export function spectrumOf(
  samples: ArrayLike<number>,
  shape: WindowShape = 'blackmanHarris',
  from = 0,
  size = samples.length,
): Float64Array {
  return toDecibels(createAnalyser(size, shape).amplitudes(samples, from));
}

/**
 * Amplitudes of frames that hold whole periods (every line lies exactly on a bin, no window): for tests.
 * `size` frames from `from` on, a power of two.
 */
export function coherentSpectrum(samples: ArrayLike<number>, from = 0, size = samples.length - from): Float64Array {
  if (from + size > samples.length) throw new RangeError(`${size} frames from ${from} on are asked for, ${samples.length} are there.`);
  return createAnalyser(size, 'none').amplitudes(samples, from).slice();
}

export interface Line {
  readonly amplitude: number;
  /** Radians of the cosine at the first frame. */
  readonly phase: number;
}

/** The line at `hz`, by direct correlation over frames from..to-1 (any number of them), with a window against neighbours. */
export function lineAt(
  samples: ArrayLike<number>,
  hz: number,
  rate: number,
  shape: WindowShape = 'none',
  from = 0,
  to = samples.length,
): Line {
  const window = windowOf(shape, to - from);
  let real = 0;
  let imaginary = 0;
  let weight = 0;
  for (let i = from; i < to; i++) {
    const w = window[i - from] as number;
    const angle = (2 * Math.PI * hz * (i - from)) / rate;
    real += w * (samples[i] as number) * Math.cos(angle);
    imaginary -= w * (samples[i] as number) * Math.sin(angle);
    weight += w;
  }
  const gain = (hz === 0 ? 1 : 2) / weight;
  return { amplitude: gain * Math.hypot(real, imaginary), phase: Math.atan2(imaginary, real) };
}
