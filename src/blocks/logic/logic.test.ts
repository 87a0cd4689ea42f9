// @vitest-environment node
import { expect, it } from 'vitest';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { uniform } from '../../../tests/support/signals.ts';
import { worst } from '../../../tests/support/worst.ts';
import { spec } from './spec.ts';

// Truth tables: Boolean algebra.
it.each([
  [0, 0, { and: 0, or: 0, xor: 0, not: 8 }],
  [0, 8, { and: 0, or: 8, xor: 8, not: 8 }],
  [8, 0, { and: 0, or: 8, xor: 8, not: 0 }],
  [8, 8, { and: 8, or: 8, xor: 0, not: 0 }],
])('%i V and %i V', async (a, b, table) => {
  const held = await runKernel(spec, { frames: 200, inputs: { a, b } });
  const moving = await runKernel(spec, { frames: 200, inputs: { a: () => a, b: () => b } });
  expect(moving).toEqual(held);
  for (const [id, volts] of Object.entries(table)) expect(held[id]!.every((value) => value === volts)).toBe(true);
});

it('answers on the same frame, with 1.5 V up and 1.0 V down', async () => {
  const a = Float32Array.of(0, 1.49, 1.5, 1.2, 1.0, 0.99, 1.4, 8, 0);
  const { or, xor, not } = await runKernel(spec, { frames: a.length, inputs: { a, b: (n) => (n >= 3 && n < 8 ? 8 : 0) } });
  expect([...not!]).toEqual([8, 8, 0, 0, 0, 8, 8, 0, 8]);
  expect([...xor!]).toEqual([0, 0, 8, 0, 0, 8, 8, 0, 0]);
  expect([...or!]).toEqual([0, 0, 8, 8, 8, 8, 8, 8, 0]);
});

it('maximum and minimum are those of the voltages, to the bit', async () => {
  const next = uniform(5);
  const [a, b] = [0, 1].map(() => Float32Array.from({ length: 501 }, () => 24 * next() - 12));
  const { maximum, minimum } = await runKernel(spec, { frames: 501, inputs: { a: a!, b: b! } });
  expect(worst(501, (n) => maximum![n]! - Math.max(a![n]!, b![n]!))).toBe(0);
  expect(worst(501, (n) => minimum![n]! - Math.min(a![n]!, b![n]!))).toBe(0);
  const alone = await runKernel(spec, { frames: 501, inputs: { a: a! } });
  expect(worst(501, (n) => alone.maximum![n]! - Math.max(a![n]!, 0))).toBe(0);
});

it('an unpatched input is low', async () => {
  const { and, or, xor, not } = await runKernel(spec, { frames: 150 });
  for (const out of [and, or, xor]) expect(out!.every((volts) => volts === 0)).toBe(true);
  expect(not!.every((volts) => volts === 8)).toBe(true);
});
