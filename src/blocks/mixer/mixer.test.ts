// @vitest-environment node
import { expect, it } from 'vitest';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { spec } from './spec.ts';

const wave =
  (k: number) =>
  (n: number): number =>
    2 * Math.sin(n * 0.1 * k + k);
const six = Object.fromEntries([1, 2, 3, 4, 5, 6].map((k) => [`in${k}`, wave(k)]));

it('adds its inputs, each times its level, times the level of the sum', async () => {
  const levels = [0.5, -0.25, 1, 0.1, -1, 0.75];
  const settings = { ...Object.fromEntries(levels.map((level, i) => [`level${i + 1}`, level])), level: -0.5 };
  const { sum, inverted } = await runKernel(spec, { frames: 300, settings, inputs: six });
  for (let n = 0; n < 300; n++) {
    const expected = -0.5 * levels.reduce((total, level, i) => total + level * wave(i + 1)(n), 0);
    expect(sum![n]).toBeCloseTo(expected, 5);
    expect(inverted![n]).toBe(0 - sum![n]!);
  }
});

it('does not normalise: signals that are too large are clipped at the rails', async () => {
  const { sum, inverted } = await runKernel(spec, { frames: 4, inputs: { in1: 8, in4: 8 } });
  expect(sum![3]).toBe(12);
  expect(inverted![3]).toBe(-12);
});

it('leaving inputs unpatched gives the bits of patching 0 V', async () => {
  const inputs = { in2: wave(2), in5: wave(5) };
  const some = await runKernel(spec, { frames: 200, inputs });
  const all = await runKernel(spec, { frames: 200, inputs: { ...inputs, in1: 0, in3: () => 0, in4: 0, in6: () => 0 } });
  expect(some).toEqual(all);
});

it('constant inputs give the bits of moving ones', async () => {
  const settings = { level1: 0.3, level2: -0.7, level3: 0.9 };
  const held = await runKernel(spec, { frames: 64, settings, inputs: { in1: 1.1, in2: 2.3, in3: 0.7 } });
  const moving = await runKernel(spec, { frames: 128, settings, inputs: { in1: (n) => (n < 64 ? 1.1 : 0), in2: 2.3, in3: 0.7 } });
  expect(moving.sum!.subarray(0, 64)).toEqual(held.sum);
});

it('a gliding level moves by equal steps', async () => {
  const { sum } = await runKernel(spec, {
    frames: 500,
    inputs: { in1: 8 },
    events: [{ frame: 50, setting: 'level1', value: 0, glide: 240 }],
  });
  for (let n = 0; n < 500; n++) expect(sum![n]).toBeCloseTo(8 * (1 - Math.min(Math.max((n - 50) / 240, 0), 1)), 5);
});
