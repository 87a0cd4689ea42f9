// @vitest-environment node
import { expect, it } from 'vitest';
import { clockSignal, falls, gateSignal, rises } from '../../../tests/support/edges.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { spec } from './spec.ts';

it('starts off', async () => {
  const { on, off } = await runKernel(spec, { frames: 300 });
  expect(on!.every((volts) => volts === 0)).toBe(true);
  expect(off!.every((volts) => volts === 8)).toBe(true);
});

it('set turns it on and reset off, on the frame of their rising edges; more of the same changes nothing', async () => {
  const set = gateSignal([100, 400], [500, 510], [700, 701]);
  const reset = gateSignal([200, 220], [250, 260], [600, 900]);
  const { on, off } = await runKernel(spec, { frames: 1000, inputs: { set, reset } });
  expect([rises(on!), falls(on!)]).toEqual([
    [100, 500, 700],
    [200, 600],
  ]);
  expect([...off!]).toEqual([...on!].map((volts) => 8 - volts));
});

it('toggle alone divides a clock by two', async () => {
  const { on } = await runKernel(spec, { frames: 3000, inputs: { toggle: clockSignal(100, 40, 30) } });
  expect(rises(on!)).toEqual(Array.from({ length: 15 }, (_, k) => 40 + 200 * k));
  expect(falls(on!)).toEqual(Array.from({ length: 15 }, (_, k) => 140 + 200 * k));
});

it('an input that is high on frame 0 is an edge there', async () => {
  expect((await runKernel(spec, { frames: 3, inputs: { set: 8 } })).on![0]).toBe(8);
  expect((await runKernel(spec, { frames: 3, inputs: { toggle: 8 } })).on![0]).toBe(8);
});

it.each([
  [['set', 'reset'], 8],
  [['reset', 'toggle'], 8],
  [['set', 'toggle'], 0],
  [['set', 'reset', 'toggle'], 0],
])('of edges on one frame reset acts first, then set, then toggle (%s)', async (ids, volts) => {
  const inputs = Object.fromEntries(ids.map((id) => [id, gateSignal([5, 9])]));
  expect((await runKernel(spec, { frames: 20, inputs })).on![5]).toBe(volts);
});

it('a voltage below 1.5 V does nothing, and between 1.0 and 1.5 V it is not armed again', async () => {
  const toggle = Float32Array.of(0, 1.49, 1.5, 1.1, 8, 1, 8, 0.99, 1.5, 0);
  const { on } = await runKernel(spec, { frames: toggle.length, inputs: { toggle } });
  expect([...on!]).toEqual([0, 0, 8, 8, 8, 8, 8, 8, 0, 0]);
});
