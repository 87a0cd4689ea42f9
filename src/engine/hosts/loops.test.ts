// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { runPatch } from '../../../tests/support/runPatch.ts';
import type { Patch } from '../../patch/document.ts';

/** A little test signal that is neither constant nor periodic in the chunk. */
const x = (n: number): number => Math.sin(n * n * 0.001);

const recursion = (frames: number, gain: number, delay: number): number[] => {
  const y: number[] = [];
  for (let n = 0; n < frames; n++) y.push(Math.fround(x(n) + gain * (y[n - delay] ?? 0)));
  return y;
};

const closeTo = (measured: Float32Array | undefined, expected: readonly number[]): number =>
  Math.max(...expected.map((y, n) => Math.abs(y - (measured?.[n] ?? Number.NaN))));

describe('loops', () => {
  it('a mixer fed back into itself at 0.9 is y[n] = x[n] + 0.9 y[n-1]', () => {
    const patch: Patch = {
      blocks: [{ id: 'mix1', type: 'mixer', settings: { level2: 0.9 } }],
      cables: [{ from: ['mix1', 'sum'], to: ['mix1', 'in2'] }],
    };
    for (const cuts of [[128], [1], [7, 128, 50]]) {
      const { out } = runPatch(patch, { frames: 1000, feeds: { 'mix1.in1': x }, outputs: ['mix1.sum'], cuts });
      expect(closeTo(out['mix1.sum'], recursion(1000, 0.9, 1))).toBeLessThan(2e-5);
    }
  });

  it('three blocks in a ring have one frame of delay in all', () => {
    const patch: Patch = {
      blocks: [
        { id: 'a', type: 'mixer' },
        { id: 'b', type: 'mixer', settings: { level1: 0.9 } },
        { id: 'c', type: 'mixer' },
      ],
      cables: [
        { from: ['a', 'sum'], to: ['b', 'in1'] },
        { from: ['b', 'sum'], to: ['c', 'in1'] },
        { from: ['c', 'sum'], to: ['a', 'in2'] },
      ],
    };
    const { out, plan } = runPatch(patch, { frames: 1000, feeds: { 'a.in1': x }, outputs: ['a.sum'] });
    expect(plan.delayed.size).toBe(1);
    expect(closeTo(out['a.sum'], recursion(1000, 0.9, 1))).toBeLessThan(2e-5);
    expect(closeTo(out['a.sum'], recursion(1000, 0.9, 2))).toBeGreaterThan(0.1);
  });
});
