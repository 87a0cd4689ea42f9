// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { renderWith } from '../../../tests/support/earBench.ts';
import { levelsOf } from '../../measure/levels.ts';
import type { Patch } from '../../patch/document.ts';
import { settled } from './earTakes.ts';

describe('what is heard of a control voltage in a take', () => {
  it('has no direct voltage: the mean of a held 5 V is below 1 mV over the whole take, whatever it does at the start', () => {
    const steady: Patch = { blocks: [{ id: 'dc', type: 'attenuverter', settings: { gain: 0, offset: 5 } }], cables: [] };
    const { left, tap } = renderWith(steady, ['dc', 'out'], 12);
    expect(levelsOf(tap).dc).toBeCloseTo(5, 6);
    expect(Math.abs(levelsOf(settled(left, 48000)).dc) * 10).toBeLessThan(0.001);
    // The thump at the start, while the dc block charges, would leave more: the test can fail.
    expect(Math.abs(levelsOf(left).dc) * 10).toBeGreaterThan(0.001);
  });

  it('is left as it is after the start', () => {
    const samples = new Float32Array(48000).fill(0.5);
    const out = settled(samples, 48000);
    expect(out[7000]).toBe(0);
    expect(out.subarray(9600)).toEqual(samples.subarray(9600));
  });
});
