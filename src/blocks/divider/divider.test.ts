// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { clockSignal, falls, gateSignal, rises } from '../../../tests/support/edges.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { spec } from './spec.ts';

const INTERVAL = 400;
const divisions = [2, 3, 4, 5, 6, 8, 16];

it.each(['trigger', 'half', 'clock'])('the first clock fires all, then every N-th (width %s)', async (width) => {
  const out = await runKernel(spec, { frames: INTERVAL * 50, settings: { width }, inputs: { clock: clockSignal(INTERVAL, 37, 150) } });
  for (const by of divisions) {
    const expected = Array.from({ length: Math.ceil(50 / by) }, (_, k) => 37 + k * by * INTERVAL).filter((n) => n < INTERVAL * 50);
    expect(rises(out[`by${by}`]!)).toEqual(expected);
  }
});

describe('width', () => {
  const run = (width: string) =>
    runKernel(spec, { frames: INTERVAL * 40, settings: { width }, inputs: { clock: clockSignal(INTERVAL, 0, 150) } });

  it('trigger lasts 1 ms', async () => {
    const { by3 } = await run('trigger');
    expect(falls(by3!).slice(0, 3)).toEqual([48, 1248, 2448]);
  });

  it("half is N / 2 intervals, and the clock's own high time until the interval is known", async () => {
    const out = await run('half');
    for (const by of [2, 3, 5, 8]) {
      expect(falls(out[`by${by}`]!).slice(0, 3)).toEqual([150, by * INTERVAL * 1.5, by * INTERVAL * 2.5]);
    }
  });

  it('clock is high while the clock is high', async () => {
    const { by4 } = await run('clock');
    expect(falls(by4!).slice(0, 3)).toEqual([150, 1750, 3350]);
  });
});

describe('reset', () => {
  it('the next clock fires all; outputs go low at once', async () => {
    const out = await runKernel(spec, { frames: 6000, inputs: { clock: clockSignal(INTERVAL, 0, 150), reset: gateSignal([1250, 1300]) } });
    expect(rises(out.by16!)).toEqual([0, 1600]);
    expect(rises(out.by2!).slice(0, 4)).toEqual([0, 800, 1600, 2400]);
    expect(rises(out.by3!).slice(0, 4)).toEqual([0, 1200, 1600, 2800]);
    expect(falls(out.by3!)[1]).toBe(1250);
  });

  it('on the frame of a clock it acts first: that clock fires all', async () => {
    const out = await runKernel(spec, {
      frames: 6000,
      settings: { width: 'trigger' },
      inputs: { clock: clockSignal(INTERVAL, 0, 150), reset: gateSignal([1200, 1300]) },
    });
    expect(rises(out.by16!)).toEqual([0, 1200]);
    expect(rises(out.by2!).slice(0, 4)).toEqual([0, 800, 1200, 2000]);
  });
});

it('an edge is seen at 1.5 V and again only after less than 1 V', async () => {
  const clock = (n: number): number => (n < 10 ? 1.4 : n < 20 ? 1.5 : n < 30 ? 1.05 : n < 40 ? 3 : n < 50 ? 0.99 : 1.6);
  const { by2 } = await runKernel(spec, { frames: 100, settings: { width: 'clock' }, inputs: { clock } });
  expect([rises(by2!), falls(by2!)]).toEqual([[10], [40]]);
});

it('without a clock everything stays low', async () => {
  const out = await runKernel(spec, { frames: 300, inputs: { reset: gateSignal([20, 40]) } });
  for (const by of divisions) expect(out[`by${by}`]!.every((volts) => volts === 0)).toBe(true);
});
