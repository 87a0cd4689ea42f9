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

  it('has none where it moves slowly either: a triangle of 0 to 8 V in 14 s, of which a dc block alone lets some 9 mV through', () => {
    const slow: Patch = {
      blocks: [{ id: 'lfo', type: 'lfo', settings: { rate: 0.07, range: 'unipolar' } }],
      cables: [],
    };
    const { left, tap } = renderWith(slow, ['lfo', 'triangle'], 6);
    const { peak, dc } = levelsOf(tap);
    expect(dc).toBeGreaterThan(1);
    const out = settled(left, 48000);
    const half = (samples: Float32Array) => Math.abs(levelsOf(samples, 48000, 3 * 48000).dc) * 10;
    expect(half(out)).toBeLessThan(0.001);
    expect(half(left)).toBeGreaterThan(0.001 * peak);
  });

  it('keeps its edges', () => {
    const edges = Float32Array.from({ length: 48000 }, (_, n) => (n < 24000 ? 0 : 0.5));
    expect(levelsOf(settled(edges, 48000)).peak).toBeCloseTo(0.5, 1);
    expect(settled(edges, 48000)[7000]).toBe(0);
  });
});
