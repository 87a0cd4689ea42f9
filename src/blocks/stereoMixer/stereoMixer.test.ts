// @vitest-environment node
import { expect, it } from 'vitest';
import { publishedTable } from '../../../tests/support/publishedTable.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { worst } from '../../../tests/support/worst.ts';
import { spec } from './spec.ts';

const wave =
  (k: number) =>
  (n: number): number =>
    2 * Math.sin(n * 0.1 * k + k);
const four = Object.fromEntries([1, 2, 3, 4].map((k) => [`in${k}`, wave(k)]));

// Source: crossfade_laws.csv, equal power; pan -1..1 is x = 0..1.
it.each(publishedTable('crossfade_laws').map((row) => [row.x as number, row] as const))(
  'places by equal power (x = %f)',
  async (x, row) => {
    const settings = { level3: 1, pan3: 2 * x - 1 };
    const { left, right } = await runKernel(spec, { frames: 8, settings, inputs: { in3: 4 } });
    expect(left![7]! / 4).toBeCloseTo(row.ep_a!, 6);
    expect(right![7]! / 4).toBeCloseTo(row.ep_b!, 6);
  },
);

it('adds its inputs by level and place, sends them after the level, and adds the returns as they are', async () => {
  const levels = [0.5, 1, 0.25, 0.7];
  const pans = [-1, -0.3, 0.6, 1];
  const sends = [1, 0.5, 0, 0.2];
  const settings = Object.fromEntries(
    levels.flatMap((level, i) => [
      [`level${i + 1}`, level],
      [`pan${i + 1}`, pans[i] as number],
      [`send${i + 1}`, sends[i] as number],
    ]),
  );
  const inputs = { ...four, returnLeft: wave(5), returnRight: wave(6) };
  const { left, right, send } = await runKernel(spec, { frames: 300, settings, inputs });
  const total = (n: number, gain: (i: number) => number): number =>
    levels.reduce((sum, level, i) => sum + level * wave(i + 1)(n) * gain(i), 0);
  const angle = (i: number): number => ((1 + (pans[i] as number)) * Math.PI) / 4;
  expect(worst(300, (n) => left![n]! - total(n, (i) => Math.cos(angle(i))) - wave(5)(n))).toBeLessThan(3e-6);
  expect(worst(300, (n) => right![n]! - total(n, (i) => Math.sin(angle(i))) - wave(6)(n))).toBeLessThan(3e-6);
  expect(worst(300, (n) => send![n]! - total(n, (i) => sends[i] as number))).toBeLessThan(3e-6);
});

it('at its defaults each side is 3.01 dB below the level of 0.8 and nothing is sent', async () => {
  const { left, right, send } = await runKernel(spec, { frames: 200, inputs: { in2: 5 } });
  expect(20 * Math.log10(left![9]! / 5)).toBeCloseTo(20 * Math.log10(0.8) - 3.0103, 4);
  expect(left).toEqual(right);
  expect(send!.every((volts) => Object.is(volts, 0))).toBe(true);
});

it('does not normalise: what is too large is clipped at the rails', async () => {
  const out = await runKernel(spec, { frames: 4, inputs: { in1: 12, in2: 12, in3: 12, returnLeft: -12 } });
  expect(out.right![3]).toBe(12);
  expect(out.left![3]).toBeCloseTo(3 * 12 * 0.8 * Math.SQRT1_2 - 12, 4);
});

it('leaving inputs unpatched gives the bits of patching 0 V', async () => {
  const some = await runKernel(spec, { frames: 200, settings: { send4: 0.3 }, inputs: { in2: wave(2), in4: wave(4) } });
  const zeros = { in1: 0, in3: () => 0, returnLeft: 0, returnRight: () => 0 };
  const all = await runKernel(spec, { frames: 200, settings: { send4: 0.3 }, inputs: { in2: wave(2), in4: wave(4), ...zeros } });
  expect(some).toEqual(all);
});

it('constant inputs give the bits of moving ones', async () => {
  const settings = { level1: 0.3, pan1: -0.7, send2: 0.9, pan2: 0.2 };
  const held = await runKernel(spec, { frames: 64, settings, inputs: { in1: 1.1, in2: 2.3, returnLeft: 0.7 } });
  const moving = await runKernel(spec, { frames: 128, settings, inputs: { in1: (n) => (n < 64 ? 1.1 : 0), in2: 2.3, returnLeft: 0.7 } });
  for (const id of ['left', 'right', 'send']) expect(moving[id]!.subarray(0, 64)).toEqual(held[id]);
});

it('level and place glide without steps', async () => {
  const events = [
    { frame: 50, setting: 'level1', value: 0, glide: 240 },
    { frame: 50, setting: 'pan2', value: 1, glide: 240 },
  ];
  const settings = { level1: 1, pan1: -1, level2: 1, pan2: -1 };
  const { left, right } = await runKernel(spec, { frames: 400, settings, inputs: { in1: 3, in2: 5 }, events });
  const way = (n: number): number => Math.min(Math.max((n - 50) / 240, 0), 1);
  expect(worst(400, (n) => left![n]! - 3 * (1 - way(n)) - 5 * Math.cos((way(n) * Math.PI) / 2))).toBeLessThan(3e-6);
  expect(worst(400, (n) => right![n]! - 5 * Math.sin((way(n) * Math.PI) / 2))).toBeLessThan(3e-6);
});
