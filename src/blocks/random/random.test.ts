// @vitest-environment node
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { clockSignal, falls, gateSignal, rises } from '../../../tests/support/edges.ts';
import { type KernelRun, runKernel } from '../../../tests/support/runKernel.ts';
import { worst } from '../../../tests/support/worst.ts';
import { autocorrelation, chiSquare, histogram, momentsOf, uniformDistance } from '../../measure/statistics.ts';
import { spec } from './spec.ts';

const published = JSON.parse(readFileSync(new URL('../../../tests/published/data/random_stats.json', import.meta.url), 'utf8'));
const limits = published.limits.find((entry: { n: number; alpha: number }) => entry.n === 10000 && entry.alpha === 1e-6);

const run = (frames: number, settings: KernelRun['settings'], more: Partial<KernelRun> = {}) =>
  runKernel(spec, { frames, settings: settings ?? {}, ...more });

/** One value per clock of `interval` frames. */
const perClock = (volts: Float32Array, interval: number): number[] =>
  Array.from({ length: Math.floor(volts.length / interval) }, (_, k) => volts[k * interval]!);

/** (1 - cos pi x) / 2 */
const raisedCosine = (x: number): number => 0.5 - 0.5 * Math.cos(Math.PI * x);

describe('the draws', () => {
  const draws = async (settings: KernelRun['settings'], more: Partial<KernelRun> = {}): Promise<number[]> =>
    perClock((await run(80000, settings, { outputs: ['stepped'], inputs: { clock: clockSignal(8) }, ...more })).stepped!, 8);

  it.each([1, 2])('are uniform and without memory, within the published limits (seed %i)', async (seed) => {
    const unit = (await draws({ spread: 5 }, { seed })).map((volts) => volts / 5);
    const { mean, variance, excessKurtosis } = momentsOf(unit);
    expect(Math.abs(mean)).toBeLessThan(limits.uniform_mean_abs_max);
    expect(Math.abs(variance - published['uniform_-1_1'].variance)).toBeLessThan(limits.uniform_variance_abs_dev_max);
    expect(Math.abs(excessKurtosis - published['uniform_-1_1'].excess_kurtosis)).toBeLessThan(0.05);
    expect(uniformDistance(unit, -1, 1)).toBeLessThan(limits.ks_statistic_max);
    const chi = chiSquare(histogram(unit, -1, 1, 16));
    expect(chi).toBeGreaterThan(limits.chi2_16_bins[0]);
    expect(chi).toBeLessThan(limits.chi2_16_bins[1]);
    for (const lag of [1, 2, 3, 16]) expect(Math.abs(autocorrelation(unit, lag))).toBeLessThan(limits.lag_autocorrelation_abs_max);
  });

  it('spread scales them, bias moves them, the rails clamp them', async () => {
    const plain = await draws({ spread: 1 });
    const moved = await draws({ spread: 2.5, bias: -3 });
    expect(worst(plain.length, (k) => moved[k]! - (-3 + 2.5 * plain[k]!))).toBeLessThan(1e-6);
    const railed = await draws({ spread: 10, bias: 10 });
    expect(worst(plain.length, (k) => railed[k]! - Math.min(12, 10 + 10 * plain[k]!))).toBeLessThan(2e-6);
    expect(await draws({ spread: 0, bias: 2 })).toEqual(new Array(10000).fill(2));
  });

  it('are the same for one seed and block, others for another, and the same at every quality', async () => {
    const one = await draws({});
    expect(await draws({})).toEqual(one);
    expect(await draws({}, { seed: 2 })).not.toEqual(one);
    expect(await draws({}, { id: 'other' })).not.toEqual(one);
    const fine = await run(32000, {}, { quality: 4, inputs: { clock: clockSignal(32) } });
    expect(perClock(fine.stepped!, 32)).toEqual(one.slice(0, 1000));
  });

  it.each([0, 0.2, 0.5, 1])('chance %d opens that share of the gates, independent of the voltages', async (chance) => {
    const { gate, stepped } = await run(80000, { chance }, { inputs: { clock: clockSignal(8) } });
    const open = perClock(gate!, 8).map((volts) => (volts > 1 ? 1 : 0));
    const share = open.reduce<number>((sum, each) => sum + each, 0) / 10000;
    expect(Math.abs(share - chance)).toBeLessThanOrEqual(5 * Math.sqrt((chance * (1 - chance)) / 10000)); // binomial distribution
    const volts = perClock(stepped!, 8);
    const mean = volts.reduce((sum, each, k) => sum + each * open[k]!, 0) / Math.max(1, 10000 * share);
    expect(Math.abs(mean)).toBeLessThan(chance === 0 ? 1e-9 : (5 * 5) / Math.sqrt(3 * 10000 * chance));
  });
});

describe('by a clock', () => {
  const T = 240;

  it('stepped changes on the frame of the edge and holds', async () => {
    const { stepped } = await run(20 * T, {}, { inputs: { clock: clockSignal(T, 7) } });
    for (let n = 0; n < 20 * T; n++) {
      const edge = Math.floor((n - 7) / T) * T + 7;
      expect(stepped![n], `frame ${n}`).toBe(edge < 0 ? 0 : stepped![edge]);
    }
    expect(new Set(stepped).size).toBe(21);
  });

  it('smooth goes from draw to draw in a raised cosine over the interval; it waits until that is known', async () => {
    const { stepped, smooth } = await run(40 * T, {}, { inputs: { clock: clockSignal(T) } });
    const targets = perClock(stepped!, T);
    expect(worst(T, (n) => smooth![n]!)).toBe(0);
    const from = (k: number): number => (k < 2 ? 0 : targets[k - 1]!);
    const law = (n: number): number => {
      const k = Math.floor(n / T);
      return from(k) + (targets[k]! - from(k)) * raisedCosine((n % T) / T);
    };
    expect(worst(39 * T, (n) => smooth![n + T]! - law(n + T))).toBeLessThan(1e-6);
  });

  it('a late clock finds smooth at its end, an early one turns it round where it stands', async () => {
    const edges = [0, 400, 1200, 1500];
    const clock = gateSignal(...edges.map((n): [number, number] => [n, n + 20]));
    const { stepped, smooth } = await run(2400, {}, { inputs: { clock } });
    const [, second, third, fourth] = edges.map((n) => stepped![n]!);
    expect(worst(400, (n) => smooth![800 + n]! - second!)).toBe(0); // 400 frames on the way, then still
    const turn = second! + (third! - second!) * raisedCosine(300 / 800);
    expect(smooth![1500]).toBeCloseTo(turn, 5);
    expect(smooth![1650]).toBeCloseTo(turn + (fourth! - turn) * raisedCosine(0.5), 5);
    expect(worst(600, (n) => smooth![1800 + n]! - fourth!)).toBe(0);
    expect(worst(2399, (n) => smooth![n + 1]! - smooth![n]!)).toBeLessThan((Math.PI / 2 / 300) * 10); // no jump: the steepest slope
  });

  it('the gate is high for half the interval, and as long as the clock until that is known', async () => {
    const { gate } = await run(6 * T, { chance: 1 }, { inputs: { clock: clockSignal(T, 0, 50) } });
    expect(rises(gate!)).toEqual([0, T, 2 * T, 3 * T, 4 * T, 5 * T]);
    expect(falls(gate!)).toEqual([50, 1.5 * T, 2.5 * T, 3.5 * T, 4.5 * T, 5.5 * T]);
  });
});

describe('by its own clock', () => {
  it.each([
    [200, 48000],
    [7, 48000],
    [113.7, 44100],
    [0.9, 96000],
  ])('at %d Hz and %i frames a second clock k falls on the frame nearest to k / rate', async (rate, sampleRate) => {
    const frames = Math.round((40 / rate) * sampleRate);
    const { gate, stepped } = await run(frames, { rate, chance: 1 }, { sampleRate });
    const expected = Array.from({ length: 40 }, (_, k) => Math.round((k * sampleRate) / rate));
    expect(rises(gate!)).toEqual(expected);
    expect(falls(gate!)).toEqual(expected.map((_, k) => Math.round(((k + 0.5) * sampleRate) / rate)));
    expect(new Set(stepped).size).toBe(40);
  });

  it('does not drift: after 10000 seconds every clock still stands on its frame', async () => {
    const { gate } = await run(480000, { rate: 1.7, chance: 1 }, { sampleRate: 48, outputs: ['gate'] });
    expect(rises(gate!)).toEqual(Array.from({ length: 17000 }, (_, k) => Math.round((k * 48) / 1.7)));
  });

  it('stops rising where a clock takes two frames', async () => {
    const { gate } = await run(2000, { rate: 200, rateAmount: 1, chance: 1 }, { inputs: { rate: 12 } });
    expect(rises(gate!)).toEqual(Array.from({ length: 1000 }, (_, k) => 2 * k));
  });

  it.each([
    [0.5, 4, 4],
    [0.5, -2, 0.5],
    [-1, 1, 0.5],
    [1, 3, 8],
  ])('amount %d and %d V at the rate input make the rate %d times as high', async (rateAmount, volts, factor) => {
    const { gate } = await run(96000, { rate: 10, rateAmount, chance: 1 }, { inputs: { rate: volts } });
    expect(rises(gate!)).toEqual(Array.from({ length: Math.ceil(20 * factor) }, (_, k) => Math.round((k * 4800) / factor)));
  });

  it('a rate that moves moves smooth and gate along: each clock finds smooth at its end', async () => {
    const rate = (n: number): number => 2 * Math.sin(n / 3000);
    const { stepped, smooth, gate } = await run(96000, { rate: 20, rateAmount: 1, chance: 1 }, { inputs: { rate } });
    const edges = rises(gate!);
    const isEdge = new Set(edges);
    // clocks per frame summed up, as no formula gives the place of a clock here
    let place = 0;
    let expected = 1;
    for (let n = 0; n < 96000; n++) {
      if (place > expected + 1e-3) throw new Error(`No clock near frame ${n}`);
      if (isEdge.has(n)) expected = Math.round(place) + 1;
      place += (20 * 2 ** Math.fround(rate(n))) / 48000;
    }
    expect(edges.length).toBe(Math.floor(place) + 1);
    for (const edge of edges.slice(1)) expect(smooth![edge]).toBeCloseTo(stepped![edge - 1]!, 2);
    expect(worst(95999, (n) => smooth![n + 1]! - smooth![n]!)).toBeLessThan((Math.PI / 2 / 600) * 10 * 1.01);
  });

  it('smooth has 3/4 of the variance of the draws (raised cosine, averaged over the way)', async () => {
    const clocks = 10000;
    const interval = 24;
    const { stepped, smooth } = await run(clocks * interval, { rate: 200, spread: 5 }, { sampleRate: 200 * interval });
    const ratio = momentsOf(smooth!).variance / momentsOf(stepped!).variance;
    // standard error of the ratio: neighbours' products, weight 1/4 on average, over 10000 draws
    expect(Math.abs(ratio - published.smooth_random_variance_ratio.raised_cosine)).toBeLessThan((5 * 0.25) / Math.sqrt(clocks));
  });
});
