// @vitest-environment node
import { expect, it } from 'vitest';
import { falls, rises } from '../../../tests/support/edges.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { uniform } from '../../../tests/support/signals.ts';
import { worst } from '../../../tests/support/worst.ts';
import { spec } from './spec.ts';

it('rises on the frame that reaches the threshold and falls below it by the hysteresis', async () => {
  const volts = [0, 1.99, 2, 1.6, 1.5, 1.49, 1.99, 5, 1.5, -3, 2];
  const settings = { threshold: 2, hysteresis: 0.5 };
  const { gate, inverted } = await runKernel(spec, { frames: volts.length, settings, inputs: { in: Float32Array.from(volts) } });
  expect([...gate!]).toEqual([0, 0, 8, 8, 8, 0, 0, 8, 8, 0, 8]);
  expect([...inverted!]).toEqual([...gate!].map((volts) => 8 - volts));
});

it('without hysteresis it is the sign of the difference, frame by frame, and cv adds to the threshold', async () => {
  const next = uniform(8);
  const [signal, cv] = [0, 1].map(() => Float32Array.from({ length: 2000 }, () => Math.round(24 * next() - 12)));
  const inputs = { in: signal!, cv: cv! };
  const { gate } = await runKernel(spec, { frames: 2000, settings: { threshold: -1, hysteresis: 0 }, inputs });
  expect(worst(2000, (n) => gate![n]! - (signal![n]! >= cv![n]! - 1 ? 8 : 0))).toBe(0);
});

it('a sine gives a pulse whose edges lie where it crosses the trip points', async () => {
  const settings = { threshold: 2.5, hysteresis: 5 };
  const { gate } = await runKernel(spec, { frames: 4800, settings, inputs: { in: (n) => 5 * Math.sin((2 * Math.PI * (n + 0.5)) / 480) } });
  // 5 sin reaches 2.5 V at a twelfth of the period and falls below -2.5 V at seven twelfths (arc sine).
  expect(rises(gate!)).toEqual(Array.from({ length: 10 }, (_, k) => 480 * k + 40));
  expect(falls(gate!)).toEqual(Array.from({ length: 10 }, (_, k) => 480 * k + 280));
});

it('starts low: inside the hysteresis nothing has been decided yet', async () => {
  const settings = { threshold: 0, hysteresis: 1 };
  expect((await runKernel(spec, { frames: 3, settings, inputs: { in: -0.5 } })).gate![2]).toBe(0);
  expect((await runKernel(spec, { frames: 3, settings, inputs: { in: 0 } })).gate![0]).toBe(8);
});

it('constant inputs give the bits of moving ones, unpatched ones those of 0 V', async () => {
  for (const threshold of [-1, 0, 1]) {
    const held = await runKernel(spec, { frames: 300, settings: { threshold } });
    const moving = await runKernel(spec, { frames: 300, settings: { threshold }, inputs: { in: () => 0, cv: () => 0 } });
    expect(moving).toEqual(held);
    expect(held.gate![0]).toBe(threshold > 0 ? 0 : 8);
  }
});

it('a gliding threshold trips on its exact frame', async () => {
  const events = [{ frame: 100, setting: 'threshold', value: 4, glide: 400 }];
  const { gate } = await runKernel(spec, { frames: 700, settings: { hysteresis: 0 }, inputs: { in: 1.005 }, events });
  expect(falls(gate!)).toEqual([100 + 101]); // 0.01 V per frame: above 1.005 V on frame 201
});
