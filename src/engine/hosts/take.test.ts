// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { engineModule } from '../../../tests/support/engine.ts';
import { specs } from '../../blocks/specs.gen.ts';
import type { Patch } from '../../patch/document.ts';
import { renderTake, type TakeOptions } from './take.ts';

const take = (patch: Patch, options: TakeOptions = {}) => renderTake(engineModule(), specs, patch, { seconds: 0.2, ...options });

/** An attenuverter alone is a voltage source: its normal is 8 V. */
const source = (move: NonNullable<Patch['moves']>[number]['points']): Patch => ({
  blocks: [{ id: 'a', type: 'attenuverter', settings: { gain: 0 } }],
  cables: [],
  moves: [{ block: 'a', setting: 'offset', points: move }],
});

describe('hand movements in a take', () => {
  const { taps } = take(
    source([
      [0.01, 2],
      [0.02, 6],
      [0.02, -4],
      [0.05, -4],
    ]),
    { taps: [{ at: ['a', 'out'] }] },
  );
  const volts = taps[0] as Float32Array;

  it('start on their frame and run straight between points', () => {
    expect(volts[479]).toBe(0);
    expect(volts[480]).toBe(2);
    for (let n = 480; n < 960; n++) expect(volts[n]).toBeCloseTo(2 + (4 * (n - 480)) / 480, 5);
  });

  it('jump where two points share a time', () => {
    expect(volts[960]).toBe(-4);
  });

  it('stay where they end', () => {
    expect(volts[9599]).toBe(-4);
  });

  it('fall on the rounded frame at every rate and quality', () => {
    for (const rate of [44100, 48000, 96000]) {
      for (const quality of [1, 2] as const) {
        const { taps: recorded } = take(
          source([
            [0.0123, 0],
            [0.0123, 5],
          ]),
          { rate, quality, taps: [{ at: ['a', 'out'] }] },
        );
        const at = (recorded[0] as Float32Array).findIndex((v) => v >= 2.5);
        expect(Math.abs(at - 0.0123 * rate)).toBeLessThanOrEqual(quality === 1 ? 0.5 : 1);
      }
    }
  });
});

describe('takes', () => {
  const tone: Patch = {
    blocks: [
      { id: 'n', type: 'noise' },
      { id: 'f', type: 'filter' },
      { id: 'o', type: 'output', settings: { level: 0, dcBlock: false } },
    ],
    cables: [
      { from: ['n', 'pink'], to: ['f', 'in'] },
      { from: ['f', 'lowpass'], to: ['o', 'left'] },
    ],
  };

  it('have round(seconds x rate) frames and mono on both sides where the right input is open', () => {
    const { left, right, frames } = take(tone, { seconds: 0.12345, rate: 44100 });
    expect(frames).toBe(Math.round(0.12345 * 44100));
    expect(left.length).toBe(frames);
    expect(right).toEqual(left);
  });

  it.each([1, 2, 4, 8] as const)('compensate the delay of ceiling and decimator at quality %i', (quality) => {
    const { left, taps } = take(tone, { quality, taps: [{ at: ['f', 'lowpass'] }] });
    const worst = left.reduce((most, v, n) => Math.max(most, Math.abs(v * 10 - (taps[0]?.[n] as number))), 0);
    expect(worst).toBeLessThan(1e-5);
  });

  it('of a patch without output are silent, taps still work', () => {
    const { left, taps } = take({ blocks: [{ id: 'n', type: 'noise' }], cables: [] }, { taps: [{ at: ['n', 'white'] }] });
    expect(left.every((v) => v === 0)).toBe(true);
    expect((taps[0] as Float32Array).some((v) => Math.abs(v) > 1)).toBe(true);
  });

  it('give peaks that bound every frame', () => {
    const { taps, peakFrames } = take(tone, { taps: [{ at: ['n', 'pink'] }, { at: ['n', 'pink'], peaksOnly: true }] });
    const [frames, peaks] = taps as [Float32Array, Float32Array];
    for (let i = 0; i < frames.length / peakFrames; i++) {
      const part = frames.subarray(i * peakFrames, (i + 1) * peakFrames);
      expect(peaks[2 * i]).toBe(Math.min(...part));
      expect(peaks[2 * i + 1]).toBe(Math.max(...part));
    }
  });
});
