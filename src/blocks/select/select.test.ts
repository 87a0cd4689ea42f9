// @vitest-environment node
import { expect, it } from 'vitest';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { uniform } from '../../../tests/support/signals.ts';
import { worst } from '../../../tests/support/worst.ts';
import { spec } from './spec.ts';

const next = uniform(3);
const signals = Array.from({ length: 4 }, () => Float32Array.from({ length: 1000 }, () => 24 * next() - 12));
const four = Object.fromEntries(signals.map((signal, i) => [`in${i + 1}`, signal]));

it.each([1, 2, 3, 4])('passes input %i to the bit, from frame 0 on', async (position) => {
  const { out } = await runKernel(spec, { frames: 1000, settings: { position }, inputs: four });
  expect(out).toEqual(signals[position - 1]);
});

it('an unpatched input is 0 V', async () => {
  const { out } = await runKernel(spec, { frames: 300, settings: { position: 2 }, inputs: { in1: signals[0]! } });
  expect(out!.every((volts) => volts === 0)).toBe(true);
});

it.each([44100, 48000, 96000])('fades to another input over 1 ms in a straight line, then is exact (%i Hz)', async (sampleRate) => {
  const frames = Math.round(sampleRate / 1000);
  const events = [{ frame: 200, setting: 'position', value: 4 }];
  const { out } = await runKernel(spec, { sampleRate, frames: 1000, inputs: four, events });
  const share = (n: number): number => Math.min(Math.max((n - 200) / frames, 0), 1);
  expect(worst(1000, (n) => out![n]! - signals[0]![n]! * (1 - share(n)) - signals[3]![n]! * share(n))).toBeLessThan(3e-6);
  expect(out!.subarray(0, 200)).toEqual(signals[0]!.subarray(0, 200));
  expect(out!.subarray(200 + frames)).toEqual(signals[3]!.subarray(200 + frames));
});

it('turned again in the middle of a fade, the shares still add up to 1 and nothing jumps', async () => {
  const events = [
    { frame: 100, setting: 'position', value: 2 },
    { frame: 120, setting: 'position', value: 3 },
    { frame: 130, setting: 'position', value: 1 },
  ];
  const same = await runKernel(spec, { frames: 400, inputs: { in1: 5, in2: 5, in3: 5 }, events });
  expect(worst(400, (n) => same.out![n]! - 5)).toBeLessThan(3e-6);
  const { out } = await runKernel(spec, { frames: 400, inputs: { in1: 5, in2: -5, in3: 2 }, events });
  expect(worst(399, (n) => out![n + 1]! - out![n]!)).toBeLessThan(10 / 48 + 1e-5);
  expect(out![178]).toBe(5);
});

it('constant inputs give the bits of moving ones', async () => {
  const events = [{ frame: 30, setting: 'position', value: 2 }];
  const held = await runKernel(spec, { frames: 128, inputs: { in1: 1.7, in2: -0.3 }, events });
  const moving = await runKernel(spec, { frames: 128, inputs: { in1: () => 1.7, in2: () => -0.3 }, events });
  expect(moving).toEqual(held);
});
