// @vitest-environment node
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { clockSignal, gateSignal } from '../../../tests/support/edges.ts';
import { type KernelRun, runKernel } from '../../../tests/support/runKernel.ts';
import { autocorrelation, momentsOf, uniformDistance } from '../../measure/statistics.ts';
import { spec } from './spec.ts';

const published = JSON.parse(readFileSync(new URL('../../../tests/published/data/random_stats.json', import.meta.url), 'utf8'));
const limits = published.limits.find((entry: { n: number; alpha: number }) => entry.n === 10000 && entry.alpha === 1e-6);

const INTERVAL = 10;
const FIRST = 4;
const clock = clockSignal(INTERVAL, FIRST, 5);
/** A voltage of its own for every frame, exact in binary. */
const ramp = (frame: number): number => frame / 1024;

const run = (clocks: number, settings: KernelRun['settings'], more: Partial<KernelRun> = {}) =>
  runKernel(spec, { frames: clocks * INTERVAL, settings: settings ?? {}, ...more, inputs: { clock, ...more.inputs } });

/** One value per clock. */
const perClock = (volts: Float32Array, interval = INTERVAL): number[] =>
  Array.from({ length: Math.floor(volts.length / interval) }, (_, k) => volts[k * interval + FIRST]!);

describe('passing on', () => {
  it('takes the input on the frame of the edge, and each output is one clock behind the one before', async () => {
    const out = await run(40, {}, { inputs: { in: ramp } });
    for (const [k, id] of ['out1', 'out2', 'out3', 'out4'].entries()) {
      for (let n = 0; n < 400; n++) {
        const clocks = Math.floor((n - FIRST) / INTERVAL) - k; // number of the clock whose value stands there
        expect(out[id]![n], `${id}, frame ${n}`).toBe(clocks < 0 ? 0 : ramp(clocks * INTERVAL + FIRST));
      }
    }
  });

  it.each([1, 2, 4, 8, 32])('the loop output is the oldest of %i values', async (length) => {
    const { loop } = await run(80, { length }, { inputs: { in: ramp } });
    const expected = Array.from({ length: 80 }, (_, k) => (k < length - 1 ? 0 : ramp((k - length + 1) * INTERVAL + FIRST)));
    expect(perClock(loop!)).toEqual(expected);
  });
});

describe('coming round', () => {
  const stop = (frame: number) => [{ frame, setting: 'change', value: 0 }];

  it.each([1, 3, 8, 32])('with change 0 the last %i values go round for ever', async (length) => {
    const filled = 40;
    const out = await run(200, { length }, { inputs: { in: ramp }, events: stop(filled * INTERVAL) });
    const values = perClock(out.out1!);
    const row = values.slice(filled - length, filled);
    expect(new Set(row).size).toBe(length);
    for (let k = filled; k < 200; k++) expect(values[k]).toBe(row[(k - filled) % length]);
  });

  it('with change 0 from the beginning there is nothing to repeat', async () => {
    const { out1 } = await run(50, { change: 0 }, { inputs: { in: 3 } });
    expect(perClock(out1!)).toEqual(new Array(50).fill(0));
  });

  it.each([
    [0.25, 0, 0, 0.25],
    [0.5, 0.5, -4, 0.25],
    [0.2, 1, 4, 0.7],
    [0.9, 1, 8, 1],
    [0.1, -1, 8, 0],
  ])(
    'change %d, amount %d, %d V at the CV: a new value enters at share %d of the clocks',
    async (change, changeAmount, volts, expected) => {
      const clocks = 8000;
      const settings = { length: 3, change, changeAmount };
      const { out1 } = await run(clocks, settings, { inputs: { in: (n) => (n % 8192) / 1024 + 1, changeCv: volts } });
      const values = perClock(out1!);
      let entered = 0;
      for (let k = 0; k < clocks; k++) if (values[k] === ((k * INTERVAL + FIRST) % 8192) / 1024 + 1) entered++;
      const sigma = Math.sqrt((expected * (1 - expected)) / clocks); // binomial distribution
      expect(Math.abs(entered / clocks - expected)).toBeLessThanOrEqual(5 * sigma);
    },
  );
});

describe('reset', () => {
  it('empties it; the next clock takes the first value', async () => {
    const out = await run(20, {}, { inputs: { in: ramp, reset: gateSignal([98, 100]) } });
    for (const id of ['out1', 'out2', 'out3', 'out4', 'loop']) expect(out[id]![98]).toBe(0);
    expect([out.out1![97], out.out1![103], out.out1![104], out.out2![104], out.out2![114]]).toEqual([ramp(94), 0, ramp(104), 0, ramp(104)]);
  });

  it('on the frame of a clock it acts first: that clock takes its value', async () => {
    const out = await run(20, {}, { inputs: { in: ramp, reset: gateSignal([104, 106]) } });
    expect([out.out1![104], out.out2![104], out.out2![114]]).toEqual([ramp(104), 0, ramp(104)]);
  });
});

describe('without a cable at its input', () => {
  const noise = async (quality: 1 | 4, seed = 1): Promise<number[]> => {
    const interval = INTERVAL * quality;
    const { out1 } = await runKernel(spec, {
      frames: 10000 * interval,
      quality,
      seed,
      inputs: { clock: clockSignal(interval, FIRST * quality, 5) },
    });
    return Array.from({ length: 10000 }, (_, k) => out1![k * interval + FIRST * quality]!);
  };

  it('takes white noise: uniform in +-5 V and without memory, within the published limits', async () => {
    const unit = (await noise(1)).map((volts) => volts / 5);
    const { mean, variance } = momentsOf(unit);
    expect(Math.abs(mean)).toBeLessThan(limits.uniform_mean_abs_max);
    expect(Math.abs(variance - 1 / 3)).toBeLessThan(limits.uniform_variance_abs_dev_max);
    expect(uniformDistance(unit, -1, 1)).toBeLessThan(limits.ks_statistic_max);
    for (const lag of [1, 2, 8]) expect(Math.abs(autocorrelation(unit, lag))).toBeLessThan(limits.lag_autocorrelation_abs_max);
  });

  it('takes the same voltages at every quality, others with another seed', async () => {
    const one = await noise(1);
    expect(await noise(4)).toEqual(one);
    expect(await noise(1, 2)).not.toEqual(one);
  });
});

it('without a clock everything stays at 0 V', async () => {
  const out = await runKernel(spec, { frames: 300, inputs: { in: 5 } });
  for (const id of ['out1', 'out2', 'out3', 'out4', 'loop']) expect(out[id]!.every((volts) => volts === 0)).toBe(true);
});
