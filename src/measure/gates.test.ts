// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { clockSignal, gateSignal } from '../../tests/support/edges.ts';
import { beatOf, type GateRun, gateRuns, gateRunsOfPeaks, rhythmOf } from './gates.ts';

const made = (wave: (frame: number) => number, frames: number): Float32Array => Float32Array.from({ length: frames }, (_, n) => wave(n));
const runsOf = (...pairs: readonly (readonly [number, number])[]): GateRun[] => pairs.map(([from, to]) => ({ from, to }));

/** Runs from least and greatest volts per 100 frames, as takes record outputs without a probe. */
function coarseRuns(samples: Float32Array): GateRun[] {
  const parts = Array.from({ length: Math.ceil(samples.length / 100) }, (_, i) => samples.subarray(100 * i, 100 * i + 100));
  return gateRunsOfPeaks(
    parts.map((part) => Math.min(...part)),
    parts.map((part) => Math.max(...part)),
    100,
  );
}

/** Thresholds: up at 1.5 V, down below 1.0 V, as DEVELOPERS.md gives them for every input (common practice, no source). */
describe('gate runs', () => {
  it('rise at 1.5 V and last until the voltage is below 1 V', () => {
    expect(gateRuns([0, 1.4, 1.5, 1.2, 1, 0.99, 1.49, 8, 8, 0])).toEqual(runsOf([2, 5], [7, 9]));
  });

  it('a gate that is high at an end of what is looked at is cut there', () => {
    expect(gateRuns([8, 8, 0, 0, 8])).toEqual(runsOf([0, 2], [4, 5]));
    expect(gateRuns([0, 8, 8, 8, 0], 2, 3)).toEqual(runsOf([2, 3]));
  });

  it('what is missing is low', () => {
    expect(gateRuns([8, Number.NaN, 8, 8])).toEqual(runsOf([0, 1], [2, 4]));
    expect(gateRuns([])).toEqual([]);
  });

  it('from peaks: the same runs, to one stretch', () => {
    const gate = made(gateSignal([1000, 3000], [5130, 5170], [7000, 9000], [9600, 12000]), 12000);
    const exact = gateRuns(gate);
    const coarse = coarseRuns(gate);
    expect(coarse).toHaveLength(exact.length);
    for (const [i, { from, to }] of coarse.entries()) {
      expect(Math.abs(from - (exact[i]?.from ?? 0))).toBeLessThanOrEqual(100);
      expect(Math.abs(to - (exact[i]?.to ?? 0))).toBeLessThanOrEqual(100);
    }
  });

  it('from peaks: one short pulse across the limit of two stretches stays one, a gap of a few frames parts two', () => {
    expect(coarseRuns(made(gateSignal([190, 210]), 1000))).toEqual(runsOf([100, 300]));
    expect(coarseRuns(made(gateSignal([100, 540], [550, 900]), 1000))).toEqual(runsOf([100, 500], [500, 900]));
  });
});

describe('rhythm', () => {
  const rate = 48000;

  it('a clock of 120 beats a minute comes every half second and is even', () => {
    const rhythm = rhythmOf(gateRuns(made(clockSignal(24000, 100, 4800), 240000)), rate);
    expect(rhythm).toEqual({ count: 10, interval: 0.5, unevenness: 0, length: 0.1 });
  });

  it('edges known to 11 ms only still give the mean interval of a steady clock', () => {
    // 132 beats a minute in eighths, every 227.27 ms, with its edges moved to multiples of 512 frames.
    const coarse = Array.from({ length: 53 }, (_, i) => Math.floor((i * 60 * rate) / 264 / 512) * 512).map((from) => ({
      from,
      to: from + 1,
    }));
    const rhythm = rhythmOf(coarse, rate, 512 / rate);
    expect(Math.abs(60 / (rhythm.interval ?? 0) - 264)).toBeLessThan(1);
    expect(rhythm.unevenness).toBe(0);
  });

  it('eighths that swing 2 to 1 are uneven', () => {
    const swung = runsOf([0, 100], [32000, 33000], [48000, 49000], [80000, 81000], [96000, 97000]);
    expect(rhythmOf(swung, rate).unevenness).toBeGreaterThan(0.2);
  });

  it('the beat is the slowest gate that is steady', () => {
    const clock = (interval: number): ReturnType<typeof rhythmOf> => rhythmOf(gateRuns(made(clockSignal(interval), 480000)), rate);
    const uneven = rhythmOf(runsOf([0, 1], [5000, 5001], [50000, 50001], [51000, 51001]), rate);
    const once = rhythmOf(runsOf([0, 1]), rate);
    expect(beatOf([clock(6000), uneven, clock(24000), once])).toBe(2);
    expect(beatOf([uneven, once])).toBeUndefined();
  });
});
