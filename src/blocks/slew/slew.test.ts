// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { falls, rises } from '../../../tests/support/edges.ts';
import { publishedTable } from '../../../tests/support/publishedTable.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { worst } from '../../../tests/support/worst.ts';
import { spec } from './spec.ts';

const rate = 48000;
const step =
  (volts: number, at = 0) =>
  (n: number): number =>
    n < at ? 0 : volts;

describe('straight line', () => {
  // Source: slew_linear.csv, time = step / rate. A rate of r V/s is a time of 10 / r for 10 V.
  it.each(publishedTable('slew_linear').filter((row) => row.rate_v_per_s! >= 1))(
    '$step_v V at $rate_v_per_s V/s take $time_s s',
    async (row) => {
      const time = 10 / (row.rate_v_per_s as number);
      const frames = Math.round((row.time_s as number) * rate);
      const settings = { rise: time, fall: time };
      const up = await runKernel(spec, { frames: frames + 20, settings, inputs: { in: step(row.step_v as number) } });
      const down = await runKernel(spec, { frames: frames + 20, settings, inputs: { in: step(-(row.step_v as number)) } });
      const line = (n: number): number => Math.min(((n + 1) * (row.rate_v_per_s as number)) / rate, row.step_v as number);
      expect(worst(frames, (n) => up.out![n]! - line(n))).toBeLessThan(1e-5);
      expect(up.out!.indexOf(Math.fround(row.step_v as number))).toBe(frames - 1);
      expect(falls(up.rising!)).toEqual([frames]);
      expect(falls(down.falling!)).toEqual([frames]);
      expect(worst(frames, (n) => up.out![n]! + down.out![n]!)).toBe(0);
    },
  );

  it('takes exactly the time after twenty seconds at the highest rate', async () => {
    const frames = 20 * 48000 * 8;
    const { out } = await runKernel(spec, { quality: 8, frames: frames + 2, settings: { rise: 20 }, inputs: { in: 10 }, outputs: ['out'] });
    expect(out![frames - 2]).toBeLessThan(10);
    expect(out![frames - 1]).toBe(10);
    expect(out![frames / 2 - 1]).toBeCloseTo(5, 5);
  });
});

describe('shape', () => {
  // Source: rc_step.csv. At shape -1 the time is five time constants of a capacitor that would charge to 10 / (1 - e^-5).
  it('-1 is the published capacitor, up and down', async () => {
    const time = 0.5;
    const settings = { rise: time, fall: time, shape: -1 };
    const frames = time * rate;
    const { out } = await runKernel(spec, { frames: 2 * frames, settings, inputs: { in: (n) => (n < frames ? 10 : 0) } });
    for (const row of publishedTable('rc_step').filter((entry) => entry.t_over_tau! > 0 && entry.t_over_tau! <= 5)) {
      const n = ((row.t_over_tau as number) * frames) / 5;
      if (n !== Math.round(n)) continue;
      const charged = (10 * (row.charge as number)) / (1 - Math.exp(-5));
      expect(out![n - 1]).toBeCloseTo(charged, 5);
      expect(out![frames + n - 1]).toBeCloseTo(10 - charged, 5);
    }
    expect(out![frames - 1]).toBe(10);
    expect(out![2 * frames - 1]).toBe(0);
  });

  it.each([-1, -0.5, -0.01, 0, 0.01, 0.5, 1])('10 V take the same time (shape %f)', async (shape) => {
    const { out, rising } = await runKernel(spec, { frames: 6000, settings: { rise: 0.1, shape }, inputs: { in: 10 } });
    expect(out!.indexOf(10)).toBe(4799);
    expect(falls(rising!)).toEqual([4800]);
    // Contour's law, its source the same capacitor: s(u) = (1 - e^(-k u)) / (1 - e^(-k)).
    const k = shape < 0 ? -5 * shape : -1.5 * shape;
    const s = (u: number): number => (k === 0 ? u : (1 - Math.exp(-k * u)) / (1 - Math.exp(-k)));
    expect(worst(4800, (n) => out![n]! - 10 * s((n + 1) / 4800))).toBeLessThan(3e-6);
  });

  it('above 0 a longer way begins at the speed of 10 V and arrives', async () => {
    const { out } = await runKernel(spec, {
      frames: 22000,
      settings: { fall: 0.1, rise: 0, shape: 1 },
      inputs: { in: (n) => (n < 10 ? 12 : -12) },
    });
    const first = (10 * (1 - Math.exp(1.5 / 4800))) / (1 - Math.exp(1.5));
    expect(out![9]! - out![10]!).toBeCloseTo(first, 6);
    expect(out![10]! - out![11]!).toBeCloseTo(first, 5);
    expect(out!.indexOf(-12)).toBe(10 + Math.ceil(14 / first) + 4800 - 1);
  });
});

describe('times', () => {
  it('0 s follow at once, to the bit', async () => {
    const wave = (n: number): number => 11 * Math.sin(n * n);
    const { out } = await runKernel(spec, { frames: 500, settings: { rise: 0, fall: 0, shape: -0.7 }, inputs: { in: wave } });
    expect(worst(500, (n) => out![n]! - Math.fround(wave(n)))).toBe(0);
  });

  it.each([
    [0.5, 1, 2],
    [-0.5, 1, 0.5],
    [1, -1, 0.25],
    [0.25, 2, 2],
  ])('at an amount of %f, %f V multiply both by %f', async (cvAmount, cv, factor) => {
    const settings = { rise: 0.04, fall: 0.02, cvAmount };
    const { rising, falling } = await runKernel(spec, { frames: 12000, settings, inputs: { in: (n) => (n < 6000 ? 10 : 0), cv } });
    expect(falls(rising!)).toEqual([Math.round(1920 * factor)]);
    expect(falls(falling!)).toEqual([6000 + Math.round(960 * factor)]);
  });

  it('a moving cv bends the speed frame by frame', async () => {
    const cv = (n: number): number => 2 * Math.sin(n / 50);
    const { out } = await runKernel(spec, { frames: 2000, settings: { rise: 0.1 }, inputs: { in: 10, cv } });
    let y = 0;
    const expected = Array.from({ length: 2000 }, (_, n) => {
      y += 10 / (4800 * 2 ** Math.fround(cv(n)));
      return y;
    });
    expect(worst(2000, (n) => out![n]! - expected[n]!)).toBeLessThan(3e-6);
  });
});

it('the gates are high while it moves, and low when it has arrived or the input stands', async () => {
  const inputs = { in: (n: number) => (n < 100 ? 0 : n < 700 ? 1 : n < 900 ? -1 : 0.5) };
  const { rising, falling } = await runKernel(spec, { frames: 3000, settings: { rise: 0.1, fall: 0.05 }, inputs });
  // 1 V up takes 480 frames; 2 V down would take 480 and is cut short after 200 (0.833 V); from there up to 0.5 V
  expect([rises(rising!), falls(rising!)]).toEqual([
    [100, 900],
    [580, 900 + Math.round(480 * (0.5 - (1 - 200 / 240)))],
  ]);
  expect([rises(falling!), falls(falling!)]).toEqual([[700], [900]]);
});

it('a sine that is slow enough passes unchanged, a fast one becomes a triangle of the set speed', async () => {
  const slow = (n: number): number => 2 * Math.sin((2 * Math.PI * 5 * n) / rate);
  const settings = { rise: 0.1, fall: 0.1 }; // 100 V/s; the sine has 63 V/s at most
  const { out } = await runKernel(spec, { frames: 20000, settings, inputs: { in: slow } });
  expect(worst(20000, (n) => out![n]! - Math.fround(slow(n)))).toBe(0);
  const fast = await runKernel(spec, {
    frames: 48000,
    settings,
    inputs: { in: (n) => 5 * Math.sign(Math.sin((2 * Math.PI * 400 * n) / rate) + 1e-9) },
  });
  expect(worst(1000, (n) => Math.abs(fast.out![40001 + n]! - fast.out![40000 + n]!) - 100 / rate)).toBeLessThan(2e-6);
});
