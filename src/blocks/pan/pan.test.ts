// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { publishedTable } from '../../../tests/support/publishedTable.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { worst } from '../../../tests/support/worst.ts';
import { spec } from './spec.ts';

async function gains(settings: Record<string, number>, cv = 0): Promise<[number, number]> {
  const { left, right } = await runKernel(spec, { frames: 4, settings, inputs: { in: 4, cv } });
  return [left![3]! / 4, right![3]! / 4];
}

// Source: crossfade_laws.csv, equal power; position -1..1 is x = 0..1.
describe.each(publishedTable('crossfade_laws').map((row) => [2 * row.x! - 1, row] as const))('at position %f', (position, row) => {
  it('has the published equal-power gains', async () => {
    const [left, right] = await gains({ position });
    expect(left).toBeCloseTo(row.ep_a!, 6);
    expect(right).toBeCloseTo(row.ep_b!, 6);
    expect(left ** 2 + right ** 2).toBeCloseTo(1, 6);
  });

  it('5 V at cv go from the middle to one side, by the amount', async () => {
    const [left, right] = await gains({}, 5 * position);
    expect(left).toBeCloseTo(row.ep_a!, 6);
    expect(right).toBeCloseTo(row.ep_b!, 6);
    const [mirrored] = await gains({ cvAmount: -0.5 }, 10 * position);
    expect(mirrored).toBeCloseTo(row.ep_b!, 6);
  });
});

it('is 3.01 dB down on both sides in the middle, unchanged and silent to the bit at the ends', async () => {
  const [left, right] = await gains({});
  expect(20 * Math.log10(left)).toBeCloseTo(-3.0103, 4);
  expect(left).toBe(right);
  const wave = (n: number): number => 5 * Math.sin(n);
  for (const [settings, cv] of [
    [{ position: -1 }, 0],
    [{ position: 0 }, -12],
  ] as const) {
    const out = await runKernel(spec, { frames: 300, settings, inputs: { in: wave, cv } });
    expect(worst(300, (n) => out.left![n]! - Math.fround(wave(n)))).toBe(0);
    expect(out.right!.every((volts) => Object.is(volts, 0))).toBe(true);
  }
});

it('follows a voltage at audio rate', async () => {
  const cv = (n: number): number => 6 * Math.sin(n * 0.7);
  const { left, right } = await runKernel(spec, { frames: 400, inputs: { in: (n) => 3 + Math.sin(n), cv } });
  const angle = (n: number): number => ((1 + Math.min(Math.max(cv(n) / 5, -1), 1)) * Math.PI) / 4;
  expect(worst(400, (n) => left![n]! - (3 + Math.sin(n)) * Math.cos(angle(n)))).toBeLessThan(2e-6);
  expect(worst(400, (n) => right![n]! - (3 + Math.sin(n)) * Math.sin(angle(n)))).toBeLessThan(2e-6);
});

it('constant inputs give the bits of moving ones', async () => {
  const settings = { position: 0.21 };
  const held = await runKernel(spec, { frames: 64, settings, inputs: { in: 1.7, cv: 0.3 } });
  for (const moves of ['in', 'cv'] as const) {
    const inputs = { in: 1.7, cv: 0.3 };
    const moving = await runKernel(spec, {
      frames: 128,
      settings,
      inputs: { ...inputs, [moves]: (n: number) => (n < 64 ? inputs[moves] : 0) },
    });
    expect(moving.left!.subarray(0, 64)).toEqual(held.left);
    expect(moving.right!.subarray(0, 64)).toEqual(held.right);
  }
});

it('a gliding position turns the angle by equal steps', async () => {
  const events = [{ frame: 20, setting: 'position', value: 1, glide: 480 }];
  const { left } = await runKernel(spec, { frames: 600, settings: { position: -1 }, inputs: { in: 5 }, events });
  expect(worst(600, (n) => left![n]! - 5 * Math.cos((Math.min(Math.max((n - 20) / 480, 0), 1) * Math.PI) / 2))).toBeLessThan(2e-6);
});
