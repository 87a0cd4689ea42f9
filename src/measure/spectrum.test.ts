// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { coherentSpectrum, createAnalyser, lineAt, spectrumOf, toDecibels, type WindowShape, windowOf } from './spectrum.ts';

const size = 4096;
const sine = (cycles: number, amplitude: number, length = size): Float64Array =>
  Float64Array.from({ length }, (_, n) => amplitude * Math.cos((2 * Math.PI * cycles * n) / size + 0.3));

/** Side lobes: F. J. Harris, Proc. IEEE 66(1), 1978, Table 1 (Hann -31.5 dB, four-term -92 dB); seven terms: -180 dB (Albrecht 2001). */
const lobes: readonly (readonly [WindowShape, number, number])[] = [
  ['hann', 2, -31],
  ['blackmanHarris', 4, -91.9],
  ['sevenTerm', 7, -179],
];

describe('spectrum', () => {
  it.each(['none', 'hann', 'blackmanHarris', 'sevenTerm'] as const)('a sine on a bin reads its amplitude in volts (%s)', (shape) => {
    const amplitudes = createAnalyser(size, shape).amplitudes(sine(200, 5));
    expect(amplitudes[200]).toBeCloseTo(5, 6);
    expect(toDecibels(amplitudes)[200]).toBeCloseTo(20 * Math.log10(5), 6);
  });

  it.each(lobes)('side lobes of %s beyond %d bins lie below %d dB', (shape, width, db) => {
    const spectrum = spectrumOf(sine(1000.5, 1), shape);
    const reference = 1;
    for (const [bin, level] of spectrum.entries())
      if (Math.abs(bin - 1000.5) > width + 0.5) expect(level).toBeLessThanOrEqual(20 * Math.log10(reference) + db);
    expect(windowOf(shape, size)[size / 2]).toBeCloseTo(1, 6);
  });

  it('direct voltage stands in bin 0, a full swing at half the rate in the last bin', () => {
    const amplitudes = coherentSpectrum(Float64Array.from({ length: 64 }, (_, n) => -2 + (n % 2 === 0 ? 3 : -3)));
    expect(amplitudes[0]).toBeCloseTo(2, 12);
    expect(amplitudes[32]).toBeCloseTo(3, 12);
  });

  it('a square of +-5 V has the lines 20 / (n pi) for odd n, none for even n', () => {
    // Sampled squares follow 1 / sin instead of 1 / n; with 4096 frames per period the first lines agree to 1e-5.
    const amplitudes = coherentSpectrum(Float64Array.from({ length: size }, (_, n) => (n < size / 2 ? 5 : -5)));
    for (const n of [1, 3, 5, 7]) expect(amplitudes[n]).toBeCloseTo(20 / (n * Math.PI), 4);
    for (const n of [0, 2, 4, 6]) expect(amplitudes[n]).toBeLessThan(1e-12);
  });

  it('one line by correlation: amplitude and phase, any length, any frequency', () => {
    const line = lineAt(sine(123.4, 2, 40000), (123.4 * 48000) / size, 48000, 'blackmanHarris');
    expect(line.amplitude).toBeCloseTo(2, 5);
    expect(line.phase).toBeCloseTo(0.3, 5);
    expect(lineAt([3, 3, 3], 0, 48000).amplitude).toBeCloseTo(3, 12);
  });

  it('refuses what it cannot do', () => {
    expect(() => createAnalyser(1000, 'hann')).toThrow(/power of two/);
    expect(() => coherentSpectrum(new Float32Array(100), 0, 128)).toThrow(/128 frames/);
  });
});
