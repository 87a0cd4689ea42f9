// @vitest-environment node
/** What the pictures of the probes rest on: long spectra, single lines, columns of a spectrogram, sweeps. */
import { describe, expect, it } from 'vitest';
import { averageAmplitudes, peakBetween } from './averageSpectrum.ts';
import { createColumnMaker, spectrogramFrames } from './spectrogram.ts';
import { createAnalyser, toDecibels } from './spectrum.ts';
import { sweepsBack } from './sweeps.ts';

const rate = 48000;
const sine = (hz: number, volts: number, frames: number): Float32Array =>
  Float32Array.from({ length: frames }, (_, n) => volts * Math.sin((2 * Math.PI * hz * n) / rate));
const cents = (hz: number, reference: number): number => Math.abs(1200 * Math.log2(hz / reference));

function noise(frames: number): Float32Array {
  let state = 3;
  return Float32Array.from({ length: frames }, () => {
    state = (Math.imul(state, 1664525) + 1013904223) | 0;
    return state / 2 ** 31;
  });
}

describe('average spectra', () => {
  const size = 4096;
  const analyser = createAnalyser(size, 'blackmanHarris');

  it('a steady sine reads its amplitude, over one window and over many', () => {
    const hz = (100 * rate) / size;
    for (const frames of [size, 10 * size]) expect(averageAmplitudes(analyser, sine(hz, 5, frames), 0, frames)[100]).toBeCloseTo(5, 4);
  });

  it('a tone of half the time has half the power: 3.01 dB less', () => {
    const hz = (100 * rate) / size;
    const samples = sine(hz, 1, 64 * size).fill(0, 32 * size);
    const level = 20 * Math.log10(averageAmplitudes(analyser, samples, 0, samples.length, 64)[100] as number);
    expect(Math.abs(level + 3.01)).toBeLessThan(0.1);
  });

  it('the mean of m analyses of noise scatters less by the root of m (Welch 1967)', () => {
    const scatter = (values: Float64Array): number => {
      const part = values.slice(100, 1900).map((v) => v * v);
      const mean = part.reduce((a, b) => a + b, 0) / part.length;
      return Math.sqrt(part.reduce((a, b) => a + (b - mean) ** 2, 0) / part.length) / mean;
    };
    const samples = noise(64 * size);
    // Power of one analysis of noise scatters by its mean (chi-square with two degrees of freedom); 17 hardly overlapping: root of 17 less.
    expect(scatter(averageAmplitudes(analyser, samples, 0, size))).toBeGreaterThan(0.85);
    const many = scatter(averageAmplitudes(analyser, samples, 0, samples.length, 17));
    expect(many).toBeGreaterThan(0.2);
    expect(many).toBeLessThan(0.3);
  });

  it('a stretch shorter than a window is looked at about its middle', () => {
    const samples = new Float32Array(20000);
    samples.set(sine(1000, 1, 4000), 8000);
    const near = averageAmplitudes(analyser, samples, 9900, 10100);
    const far = averageAmplitudes(analyser, samples, 100, 300);
    expect(Math.max(...near)).toBeGreaterThan(0.9);
    expect(Math.max(...far)).toBe(0);
  });
});

describe('lines', () => {
  it.each([82.4069, 440.37, 3000.1])('a sine of %d Hz is placed within 2 cents and 0.1 dB, between bins', (hz) => {
    const levels = toDecibels(createAnalyser(16384, 'blackmanHarris').amplitudes(sine(hz, 2, 16384)));
    const near = (hz * 16384) / rate;
    const peak = peakBetween(levels, near - 6, near + 6);
    expect(cents(((peak?.bin ?? 0) * rate) / 16384, hz)).toBeLessThan(2);
    expect(Math.abs((peak?.level ?? 0) - 20 * Math.log10(2))).toBeLessThan(0.1);
  });

  it('a flank is no peak', () => {
    expect(peakBetween([0, 1, 2, 3, 4, 5], 1, 4)).toBeUndefined();
  });
});

describe('spectrogram', () => {
  const shape = { rate, frames: 8192, rows: 240, lowest: 20, highest: 20480 };
  // 10 octaves in 240 rows: 24 rows to the octave.
  const rowOf = (hz: number): number => Math.floor(24 * Math.log2(hz / 20));

  it('a sine stands in the row of its frequency with its level, and nowhere else', () => {
    for (const hz of [110, 440, 5000]) {
      const column = createColumnMaker(shape)(sine(hz, 5, 8192));
      const row = column.indexOf(Math.max(...column));
      expect(Math.abs(row - rowOf(hz))).toBeLessThanOrEqual(1);
      // Hann between bins reads at most 1.42 dB low (Harris 1978, scallop loss).
      expect(column[row]).toBeGreaterThan(20 * Math.log10(5) - 1.43);
      expect(column[row]).toBeLessThanOrEqual(20 * Math.log10(5) + 0.01);
      expect(column[rowOf(hz * 4)]).toBeLessThan(-60);
    }
  });

  it('rows narrower than a bin have no holes, rows above half the rate are empty', () => {
    const column = createColumnMaker({ ...shape, rows: 2400, highest: 40000 })(noise(8192));
    expect(column.subarray(0, 2200).every((level) => level > -90)).toBe(true);
    expect(column.at(-1)).toBe(-200);
  });

  it('the window follows the zoom, within its limits', () => {
    expect([0.01, 0.5, 1, 2, 12, 60].map((span) => spectrogramFrames(span, rate))).toEqual([512, 512, 1024, 2048, 8192, 16384]);
    expect(spectrogramFrames(60, 96000)).toBe(32768);
  });
});

describe('sweeps', () => {
  const trigger = { level: 0, hysteresis: 0.05, edge: 'rising' } as const;

  it('go back from the last edge without overlapping', () => {
    // Period 100 frames; a sweep of 250 frames takes every third edge.
    const starts = sweepsBack(sine(480, 5, 2000), trigger, 1510, 250, 1000, 10).map(Math.round);
    expect(starts).toEqual([1500, 1200, 900, 600]);
  });

  it('no more than asked for, spread over the whole reach', () => {
    const starts = sweepsBack(sine(480, 5, 6000), trigger, 5010, 100, 5000, 5).map(Math.round);
    expect(starts).toHaveLength(5);
    expect(starts[0]).toBe(5000);
    expect(starts[4]).toBeLessThanOrEqual(200);
  });

  it('none without an edge', () => {
    expect(sweepsBack(new Float32Array(1000), trigger, 900, 100, 900, 4)).toEqual([]);
  });
});
