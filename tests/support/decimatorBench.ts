/** The decimator of the shipped engine by itself: frames through it, its impulse response, its gain by frequency. */
import { createAnalyser } from '../../src/measure/spectrum.ts';
import { createPartBench, cutsOf } from './enginePart.ts';

/** Output frames for engine frames fed in the given cuts. */
export function decimated(rate: number, quality: number, input: Float32Array, cuts: readonly number[] = [128]) {
  const bench = createPartBench();
  bench.parts.prepareDecimator(rate, quality);
  const state = bench.room(bench.parts.decimatorBytes(quality));
  const from = bench.room(input.byteLength);
  const to = bench.room(input.byteLength);
  bench.frames(from, input.length).set(input);
  let at = 0;
  let written = 0;
  for (const length of cutsOf(input.length, cuts)) {
    written += bench.parts.decimate(state, from + 4 * at, length, to + 4 * written);
    at += length;
  }
  return { out: bench.frames(to, written).slice(), delay: bench.parts.decimatorDelay() };
}

/** Impulse response at the engine rate, put together from impulses on each of `quality` neighbouring frames. */
export function impulseResponse(rate: number, quality: number) {
  const outFrames = 256;
  const response = new Float64Array(outFrames * quality);
  let delay = 0;
  for (let offset = 0; offset < quality; offset++) {
    const input = new Float32Array(outFrames * quality);
    input[offset] = 1;
    const run = decimated(rate, quality, input);
    delay = run.delay;
    // Output n at engine time n x quality heard the impulse n x quality - offset frames ago (shifted by quality to stay positive).
    for (const [n, y] of run.out.entries()) if (n < outFrames - 1) response[n * quality - offset + quality] = y;
  }
  return { response, centre: delay * quality + quality, delay };
}

/** Hertz and dB of every bin of the impulse response, from 0 Hz to half the engine rate. */
export function decimatorGains(response: ArrayLike<number>, engineRate: number): { readonly x: number; readonly y: number }[] {
  const size = 32768;
  const amplitudes = createAnalyser(size, 'none').amplitudes(response);
  return Array.from(amplitudes, (amplitude, bin) => ({
    x: (bin * engineRate) / size,
    y: 20 * Math.log10((amplitude * size) / (bin === 0 || bin === size / 2 ? 1 : 2)),
  }));
}
