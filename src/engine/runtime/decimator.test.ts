// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { createPartBench, cutsOf } from '../../../tests/support/enginePart.ts';
import { createAnalyser, lineAt } from '../../measure/spectrum.ts';

/** Figures: flat within 0.05 dB to 20 kHz, at least 100 dB down from (rate - 20 kHz) upward: the project's own mark. */
const rates = [44100, 48000, 88200, 96000, 192000];
const qualities = [2, 4, 8];
const all = rates.flatMap((rate) => qualities.map((quality) => [rate, quality] as const));

/** Output frames for engine frames fed in the given cuts. */
function decimated(rate: number, quality: number, input: Float32Array, cuts: readonly number[] = [128]) {
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
function impulseResponse(rate: number, quality: number) {
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

describe.each(all)('decimating to %i Hz from %i times the rate', (rate, quality) => {
  const { response, centre, delay } = impulseResponse(rate, quality);
  const size = 32768;
  const gains = createAnalyser(size, 'none')
    .amplitudes(response)
    .map((amplitude, bin) => (amplitude * size) / (bin === 0 || bin === size / 2 ? 1 : 2));
  const decibels = (from: number, to: number): number[] =>
    [...gains].flatMap((gain, bin) => {
      const hz = (bin * rate * quality) / size;
      return hz >= from && hz <= to ? [20 * Math.log10(gain)] : [];
    });

  it('is flat within 0.05 dB to 20 kHz', () => {
    expect(Math.max(...decibels(0, 20000).map(Math.abs))).toBeLessThan(0.05);
  });

  it('is at least 105 dB down from rate - 20 kHz upward', () => {
    expect(Math.max(...decibels(rate - 20000, (rate * quality) / 2))).toBeLessThan(-105);
  });

  it('is symmetrical about its stated delay, a whole number of output frames', () => {
    expect(Number.isInteger(delay)).toBe(true);
    for (let k = 1; k < centre; k++) expect(response[centre + k]).toBe(response[centre - k]);
    expect(response[centre]).toBe(Math.max(...response));
  });
});

describe('decimator', () => {
  const noise = (frames: number): Float32Array => {
    let state = 12345;
    return Float32Array.from({ length: frames }, () => {
      state = (Math.imul(state, 1664525) + 1013904223) | 0;
      return state / 2 ** 28;
    });
  };

  it.each(qualities)('gives the same bits however the frames are cut, at quality %i', (quality) => {
    const input = noise(960 * quality);
    const whole = decimated(48000, quality, input, [input.length]).out;
    expect(whole).toHaveLength(960);
    for (const cuts of [[128], [1], [3], [127, 1], [7, 64, 5, 128], [quality], [100]]) {
      expect(decimated(48000, quality, input, cuts).out).toEqual(whole);
    }
  });

  it.each(all)('shifts nothing once its delay is taken away: a 1 kHz tone keeps its phase (%i Hz, quality %i)', (rate, quality) => {
    const frames = rate / 10;
    const tone = Float32Array.from({ length: frames * quality }, (_, n) => 5 * Math.cos((2 * Math.PI * 1000 * n) / (rate * quality) + 0.7));
    const { out, delay } = decimated(rate, quality, tone);
    // 50 whole periods from a frame behind the settling.
    const from = Math.round(rate / 50);
    const line = lineAt(out, 1000, rate, 'none', from + delay, from + delay + rate / 20);
    expect(line.amplitude).toBeCloseTo(5, 4);
    const phase = line.phase - (2 * Math.PI * 1000 * from) / rate - 0.7;
    expect(Math.abs(Math.sin(phase / 2))).toBeLessThan(1e-5);
  });

  it('keeps a direct voltage', () => {
    const { out } = decimated(48000, 8, new Float32Array(8 * 200).fill(5));
    for (const x of out.subarray(60)) expect(x).toBeCloseTo(5, 5);
  });

  it('passes frames on unchanged and without delay at quality 1', () => {
    const input = noise(300);
    expect(decimated(48000, 1, input)).toEqual({ out: input, delay: 0 });
  });

  it('fits devices with low rates: flat to 0.45 of the rate, the rest down', () => {
    const { response } = impulseResponse(16000, 4);
    const size = 32768;
    const gains = createAnalyser(size, 'none').amplitudes(response);
    const db = (hz: number): number => 20 * Math.log10(((gains[Math.round((hz * size) / 64000)] ?? 0) * size) / 2);
    expect(Math.abs(db(7200))).toBeLessThan(0.05);
    for (const hz of [8800, 12000, 15000, 16000, 24000, 31000]) expect(db(hz)).toBeLessThan(-105);
  });
});
