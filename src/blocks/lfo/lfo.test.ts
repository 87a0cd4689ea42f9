// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { clockSignal, falls, gateSignal, rises } from '../../../tests/support/edges.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { worst } from '../../../tests/support/worst.ts';
import { spec } from './spec.ts';

const RATE = 48000;
const wrap = (x: number): number => x - Math.floor(x + 1e-9);

/** The triangle as catalogued: starts at 0 going up, rises for the share `skew` of the cycle. */
function triangleAt(p: number, skew: number): number {
  const q = wrap(p + skew / 2);
  return q < skew ? -5 + (10 * q) / skew : 5 - (10 * (q - skew)) / (1 - skew);
}

describe('shapes', () => {
  it.each([0.2, 0.5, 0.85])('sine, triangle and ramp follow their formulas (skew %f)', async (skew) => {
    const rate = 7.3;
    const { sine, triangle, ramp, square } = await runKernel(spec, { frames: 20000, settings: { rate, skew } });
    const phase = (n: number): number => wrap((n * rate) / RATE);
    expect(worst(20000, (n) => sine![n]! - 5 * Math.sin(2 * Math.PI * phase(n)))).toBeLessThan(1e-6);
    expect(worst(20000, (n) => triangle![n]! - triangleAt(phase(n), skew))).toBeLessThan(1e-5);
    expect(worst(20000, (n) => ramp![n]! - (10 * phase(n) - 5))).toBeLessThan(1e-6);
    expect(new Set(square!)).toEqual(new Set([5, -5]));
    expect(triangle![0]).toBe(0);
    expect(triangle![1]).toBeGreaterThan(0);
  });

  it('unipolar is (bipolar + 5) x 0.8', async () => {
    const settings = { rate: 11, skew: 0.3 };
    const bipolar = await runKernel(spec, { frames: 9000, settings });
    const unipolar = await runKernel(spec, { frames: 9000, settings: { ...settings, range: 'unipolar' } });
    for (const id of ['sine', 'triangle', 'ramp', 'square']) {
      expect(worst(9000, (n) => unipolar[id]![n]! - (bipolar[id]![n]! + 5) * 0.8)).toBeLessThan(1e-5);
    }
  });

  it.each([0, 1])('skew %i makes the triangle a sawtooth within +-5 V', async (skew) => {
    const { triangle } = await runKernel(spec, { frames: 5000, settings: { rate: 10, skew } });
    const jumps = Array.from({ length: 4999 }, (_, n) => triangle![n + 1]! - triangle![n]!);
    expect(Math.max(...triangle!.map(Math.abs))).toBeLessThanOrEqual(5);
    expect(jumps.filter((step) => Math.abs(step) > 1)).toHaveLength(1);
    expect(jumps.filter((step) => Math.sign(step) === (skew ? 1 : -1))).toHaveLength(4998);
  });

  it('starts at its phase', async () => {
    const { ramp, square } = await runKernel(spec, { frames: 3, settings: { phase: 0.75 } });
    expect(ramp![0]).toBe(2.5);
    expect(square![0]).toBe(-5);
  });
});

describe('square edges fall on the nearest frame', () => {
  it.each([
    [48000, 1],
    [44100, 3.7],
    [48000, 123.456],
    [96000, 0.25],
  ] as const)('at %i Hz, %f cycles per second', async (sampleRate, rate) => {
    const { square } = await runKernel(spec, { sampleRate, frames: sampleRate * 5, settings: { rate }, outputs: ['square'] });
    const up = rises(square!);
    const down = falls(square!);
    expect(up.length).toBeGreaterThan(1);
    for (const [k, frame] of up.entries()) expect(frame).toBe(Math.round((k * sampleRate) / rate));
    for (const [k, frame] of down.entries()) expect(frame).toBe(Math.round(((k + 0.5) * sampleRate) / rate));
  });

  it('still after an hour', async () => {
    const [sampleRate, rate] = [6000, 0.7];
    const { square, ramp } = await runKernel(spec, {
      sampleRate,
      frames: sampleRate * 3600,
      settings: { rate },
      outputs: ['square', 'ramp'],
    });
    const up = rises(square!);
    expect(up).toHaveLength(2520);
    for (const [k, frame] of up.entries()) expect(frame).toBe(Math.round((k * sampleRate) / rate));
    const last = ramp!.length - 1;
    expect(ramp![last]).toBeCloseTo(10 * wrap((last * rate) / sampleRate) - 5, 5);
  });
});

describe('rate under control voltage', () => {
  it.each([
    [1, 0.5],
    [2, 1],
    [-3, 0.25],
  ] as const)('%f V at %f octaves per volt', async (volts, rateAmount) => {
    const rate = 2 * 2 ** (volts * rateAmount);
    const { ramp } = await runKernel(spec, { frames: 48000, settings: { rate: 2, rateAmount }, inputs: { rate: volts } });
    expect(worst(48000, (n) => ramp![n]! - (10 * wrap((n * rate) / RATE) - 5))).toBeLessThan(2e-5);
  });

  it('a moving rate adds up frame by frame', async () => {
    const volts = (n: number): number => 3 * Math.sin(n * 0.01);
    const { sine } = await runKernel(spec, { frames: 20000, settings: { rate: 20 }, inputs: { rate: volts } });
    let phase = 0;
    const expected = Array.from({ length: 20000 }, (_, n) => {
      const here = 5 * Math.sin(2 * Math.PI * phase);
      phase += (20 * 2 ** (0.5 * Math.fround(volts(n)))) / RATE;
      return here;
    });
    expect(worst(20000, (n) => sine![n]! - expected[n]!)).toBeLessThan(1e-5);
  });

  it('a gliding rate keeps the phase continuous', async () => {
    const { triangle } = await runKernel(spec, {
      frames: 9600,
      settings: { rate: 1 },
      events: [{ frame: 3000, setting: 'rate', value: 20, glide: 240 }],
    });
    expect(worst(9599, (n) => triangle![n + 1]! - triangle![n]!)).toBeLessThan((20 * 20.01) / RATE);
  });
});

describe('reset', () => {
  it('puts the phase back on the frame of the edge', async () => {
    const { ramp } = await runKernel(spec, {
      frames: 4000,
      settings: { rate: 10, phase: 0.25 },
      inputs: { reset: gateSignal([1234, 1300]) },
    });
    expect(ramp![1233]).toBeCloseTo(10 * (0.25 + (1233 * 10) / RATE) - 5, 5);
    for (let n = 1234; n < 4000; n += 100) expect(ramp![n]).toBeCloseTo(10 * (0.25 + ((n - 1234) * 10) / RATE) - 5, 5);
  });

  it('an input that is high on frame 0 is an edge there; one that stays high is no second one', async () => {
    const free = await runKernel(spec, { frames: 1000, settings: { rate: 30 } });
    const reset = await runKernel(spec, { frames: 1000, settings: { rate: 30 }, inputs: { reset: 8 } });
    expect(reset).toEqual(free);
  });
});

describe('locked to a clock', () => {
  const interval = 4801;
  it('stands still until the second clock, then fits its cycles into the interval', async () => {
    const { ramp } = await runKernel(spec, {
      frames: 4 * interval,
      settings: { rate: 77, perClock: 2, phase: 0.1 },
      inputs: { clock: clockSignal(interval, 500) },
    });
    expect(ramp!.subarray(0, 500 + interval).every((volts) => volts === ramp![0])).toBe(true);
    for (let k = 0; k < 2 * interval; k += 37) {
      expect(ramp![500 + interval + k]).toBeCloseTo(10 * wrap(0.1 + (2 * k) / interval) - 5, 4);
    }
  });

  it.each([1 / 4, 1 / 3, 3, 16])('%f cycles per clock: exact on every edge, also after many', async (perClock) => {
    const { ramp } = await runKernel(spec, {
      frames: 200 * 100,
      settings: { perClock },
      inputs: { clock: clockSignal(100) },
      outputs: ['ramp'],
    });
    for (let m = 1; m < 200; m++) expect(ramp![m * 100]).toBeCloseTo(10 * wrap(m * perClock) - 5, 5);
  });

  it('follows the clock when it changes, on the next edge', async () => {
    const clock = gateSignal([0, 10], [1000, 1010], [2000, 2010], [2500, 2510], [3000, 3010]);
    const { ramp } = await runKernel(spec, { frames: 3500, inputs: { clock } });
    expect(ramp![2499]).toBeCloseTo(10 * 0.499 - 5, 4);
    expect(ramp![2500]).toBe(-5);
    expect(ramp![2750]).toBeCloseTo(0, 4);
  });

  it('after a reset the next clock begins the count anew', async () => {
    const { ramp } = await runKernel(spec, {
      frames: 1000,
      settings: { perClock: 0.25 },
      inputs: { clock: clockSignal(100), reset: gateSignal([550, 560]) },
    });
    expect(ramp![500]).toBeCloseTo(10 * 0.25 - 5, 5);
    expect(ramp![550]).toBe(-5);
    expect(ramp![600]).toBe(-5);
    expect(ramp![700]).toBeCloseTo(-2.5, 5);
  });
});
