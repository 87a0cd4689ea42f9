// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { autocorrelation, chiSquare, correlation, histogram, momentsOf, quantile, uniformDistance } from './statistics.ts';

/** A grid over -1..1: a perfectly uniform sample. */
const grid = Float64Array.from({ length: 10001 }, (_, n) => -1 + n / 5000);

describe('statistics', () => {
  it('a uniform distribution over -1..1 has variance 1/3 and excess kurtosis -1.2', () => {
    const moments = momentsOf(grid);
    expect(moments.mean).toBeCloseTo(0, 12);
    expect(moments.variance).toBeCloseTo(1 / 3, 3);
    expect(moments.skewness).toBeCloseTo(0, 9);
    expect(moments.excessKurtosis).toBeCloseTo(-1.2, 3);
  });

  it('the distance from uniform is 0 for a grid and 1/4 for its squares', () => {
    expect(uniformDistance(grid, -1, 1)).toBeLessThan(2e-4);
    // x^2 of a uniform x over 0..1 has the distribution function sqrt(y); sqrt(y) - y is largest at 1/4.
    const squares = Float64Array.from({ length: 10000 }, (_, n) => ((n + 0.5) / 10000) ** 2);
    expect(uniformDistance(squares, 0, 1)).toBeCloseTo(0.25, 3);
  });

  it('a cosine correlates with itself and not with its sine', () => {
    const cosine = Float64Array.from({ length: 1000 }, (_, n) => Math.cos((2 * Math.PI * n) / 100));
    const sine = Float64Array.from({ length: 1000 }, (_, n) => 3 * Math.sin((2 * Math.PI * n) / 100));
    expect(correlation(cosine, cosine)).toBeCloseTo(1, 12);
    expect(correlation(cosine, sine)).toBeCloseTo(0, 12);
    expect(autocorrelation(cosine, 0)).toBeCloseTo(1, 12);
    expect(autocorrelation(cosine, 50)).toBeCloseTo(-0.95, 6);
  });

  it('counts, quantiles and chi-square', () => {
    expect([...histogram([0, 0.1, 0.5, 0.9, 1, 2], 0, 1, 2)]).toEqual([2, 3]);
    expect(chiSquare([10, 10, 10])).toBe(0);
    expect(chiSquare([12, 8])).toBeCloseTo(0.8, 12);
    expect(quantile([4, 1, 3, 2], 0.5)).toBe(2.5);
    expect(quantile([], 0.5)).toBeNaN();
  });
});
