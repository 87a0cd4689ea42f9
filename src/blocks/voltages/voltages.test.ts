// @vitest-environment node
import { expect, it } from 'vitest';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { worst } from '../../../tests/support/worst.ts';
import { spec } from './spec.ts';

it('rests at 0 V', async () => {
  const out = await runKernel(spec, { frames: 200 });
  for (const signal of Object.values(out)) expect(signal.every((volts) => volts === 0)).toBe(true);
});

it('puts out exactly what is set, over the whole range', async () => {
  const settings = { volts1: -10, volts2: 10, volts3: 7 / 12, volts4: 0.1 };
  const { out1, out2, out3, out4 } = await runKernel(spec, { frames: 300, settings });
  for (const [out, volts] of [
    [out1, -10],
    [out2, 10],
    [out3, 7 / 12],
    [out4, 0.1],
  ] as const)
    expect(out!.every((value) => value === Math.fround(volts))).toBe(true);
});

it('a new value is there on its frame, or glides there by equal steps; the others rest', async () => {
  const events = [
    { frame: 77, setting: 'volts1', value: 5 },
    { frame: 100, setting: 'volts2', value: -6, glide: 240 },
  ];
  const { out1, out2, out3 } = await runKernel(spec, { frames: 500, settings: { volts3: 2.5 }, events });
  expect([out1![76], out1![77]]).toEqual([0, 5]);
  expect(worst(500, (n) => out2![n]! + 6 * Math.min(Math.max((n - 100) / 240, 0), 1))).toBeLessThan(1e-6);
  expect(out3!.every((volts) => volts === 2.5)).toBe(true);
});
