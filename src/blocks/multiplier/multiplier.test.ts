// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { clockSignal, falls, gateSignal, rises } from '../../../tests/support/edges.ts';
import { type KernelRun, runKernel } from '../../../tests/support/runKernel.ts';
import { spec } from './spec.ts';

const multiples = [2, 3, 4, 8];

const run = (frames: number, clock: (frame: number) => number, more: Partial<KernelRun> = {}) =>
  runKernel(spec, { frames, ...more, inputs: { clock, ...more.inputs } });

/** Pulses at exactly these frames, 10 frames wide. */
const pulses = (...at: readonly number[]) => gateSignal(...at.map((n): [number, number] => [n, n + 10]));

describe('a steady clock', () => {
  it.each([997, 1200])('clock every %i frames: pulse k falls on the frame nearest to k / N of the interval', async (interval) => {
    const clocks = 40;
    const out = await run(clocks * interval, clockSignal(interval));
    for (const by of multiples) {
      const expected = Array.from(
        { length: (clocks - 1) * by },
        (_, n) => interval * (1 + Math.floor(n / by)) + Math.round(((n % by) * interval) / by),
      );
      expect(rises(out[`x${by}`]!), `x${by}`).toEqual(expected);
    }
  });

  it('waits for the second clock', async () => {
    const out = await run(3000, clockSignal(1200, 300));
    for (const by of multiples) expect(rises(out[`x${by}`]!)[0]).toBe(1500);
  });

  it.each([0.05, 0.3, 0.5, 0.95])('each pulse is high for share %d of its own interval', async (width) => {
    const interval = 4800;
    const out = await run(4 * interval, clockSignal(interval), { settings: { width } });
    for (const by of multiples) {
      const length = Math.round((width * interval) / by);
      expect(falls(out[`x${by}`]!), `x${by}`).toEqual(
        rises(out[`x${by}`]!)
          .slice(0, falls(out[`x${by}`]!).length)
          .map((n) => n + length),
      );
    }
  });

  it('a slow clock is divided as exactly: nothing is added up', async () => {
    const out = await run(1_060_000, pulses(0, 350401, 700802));
    expect(rises(out.x3!)).toEqual([0, 1, 2, 3, 4, 5].map((n) => 350401 * (1 + Math.floor(n / 3)) + Math.round(((n % 3) * 350401) / 3)));
  });
});

describe('a clock that changes', () => {
  it('takes the last interval; when it slows down the pulses run out and wait', async () => {
    const { x4 } = await run(6000, pulses(0, 800, 2400));
    expect(rises(x4!)).toEqual([800, 1000, 1200, 1400, 2400, 2800, 3200, 3600]);
  });

  it('when it gets faster the new clock begins a new row', async () => {
    const { x4 } = await run(4000, pulses(0, 1600, 2100));
    expect(rises(x4!)).toEqual([1600, 2000, 2101, 2225, 2350, 2475]); // 2000 is still high at 2100: it falls there
    expect(falls(x4!).slice(0, 3)).toEqual([1800, 2100, 2163]);
  });

  it.each([2, 3, 5, 9])('keeps a low frame between pulses with a clock every %i frames: as many pulses as then fit', async (interval) => {
    const clocks = 200;
    const out = await run(clocks * interval, clockSignal(interval, 0, 1), { settings: { width: 0.95 } });
    for (const by of multiples) {
      const seen = rises(out[`x${by}`]!).length;
      expect(seen, `x${by}`).toBeGreaterThanOrEqual((clocks - 2) * Math.min(by, Math.floor(interval / 2)));
      expect(seen, `x${by}`).toBeLessThanOrEqual(clocks * Math.min(by, interval / 2));
    }
  });
});

describe('reset', () => {
  it('silences it until the next clock; the interval stays known', async () => {
    const { x2 } = await run(5000, clockSignal(1000), { inputs: { reset: gateSignal([2100, 2200]) } });
    expect([rises(x2!), falls(x2!)]).toEqual([
      [1000, 1500, 2000, 3000, 3500, 4000, 4500],
      [1250, 1750, 2100, 3250, 3750, 4250, 4750],
    ]);
  });

  it('on the frame of a clock it acts first: that clock plays', async () => {
    const { x2 } = await run(5000, clockSignal(1000), { inputs: { reset: gateSignal([3000, 3100]) } });
    expect(rises(x2!)).toEqual([1000, 1500, 2000, 2500, 3000, 3500, 4000, 4500]);
  });
});

it('without a clock everything stays low', async () => {
  const out = await runKernel(spec, { frames: 300, inputs: { reset: gateSignal([20, 40]) } });
  for (const by of multiples) expect(out[`x${by}`]!.every((volts) => volts === 0)).toBe(true);
});
