// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { fromDb, levelsOf, toDb, voltsToDbfs } from './levels.ts';

/** Effective values of ideal waves of peak 1: sine -3.0103 dB, triangle and saw -4.7712 dB, square 0 dB (integrals of x^2). */
const period = 480;
const waves: readonly (readonly [string, (p: number) => number, number])[] = [
  ['sine', (p) => Math.sin(2 * Math.PI * p), -3.0103],
  ['triangle', (p) => 1 - 4 * Math.abs(p - 0.5), -4.7712],
  ['saw', (p) => 2 * p - 1, -4.7712],
  ['square', (p) => (p < 0.5 ? 1 : -1), 0],
];

describe('levels', () => {
  it.each(waves)('effective value of a %s', (_name, wave, db) => {
    const samples = Float32Array.from({ length: 10 * period }, (_, n) => wave(((n + 0.5) / period) % 1));
    expect(toDb(levelsOf(samples).rms)).toBeCloseTo(db, 3);
  });

  it('direct voltage is the mean, peak the largest size of either sign', () => {
    expect(levelsOf([1, -4, 2, 3])).toEqual({ peak: 4, rms: Math.sqrt(30 / 4), dc: 0.5 });
    expect(levelsOf([1, -4, 2, 3], 2, 4)).toEqual({ peak: 3, rms: Math.sqrt(13 / 2), dc: 2.5 });
  });

  it('an empty range is silent, a NaN is not hidden', () => {
    expect(levelsOf([])).toEqual({ peak: 0, rms: 0, dc: 0 });
    expect(levelsOf([1, Number.NaN, 0.5]).peak).toBeNaN();
    expect(levelsOf([1, Number.NaN, 0.5]).rms).toBeNaN();
  });

  it('10 V are 0 dBFS, the nominal 5 V -6.02 dBFS', () => {
    expect(voltsToDbfs(10)).toBe(0);
    expect(voltsToDbfs(-5)).toBeCloseTo(-6.0206, 4);
    expect(voltsToDbfs(0)).toBe(-Infinity);
    expect(fromDb(toDb(0.3))).toBeCloseTo(0.3, 12);
  });
});
