// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { publishedTable } from '../../../tests/support/publishedTable.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { uniform } from '../../../tests/support/signals.ts';
import { worst } from '../../../tests/support/worst.ts';
import { spec } from './spec.ts';

const dB = (gain: number): number => 20 * Math.log10(gain);

/** Gains of A and B at rest. */
async function gains(settings: Record<string, number | string>, cv?: number): Promise<[number, number]> {
  const inputs: Record<string, number> = cv === undefined ? {} : { cv };
  const a = await runKernel(spec, { frames: 4, settings, inputs: { ...inputs, a: 4 } });
  const b = await runKernel(spec, { frames: 4, settings, inputs: { ...inputs, b: 4 } });
  return [a.out![3]! / 4, b.out![3]! / 4];
}

// Source of both laws: the table, which follows the W3C Web Audio equal-power law.
describe.each(publishedTable('crossfade_laws').map((row) => [row.x as number, row] as const))('at %f of the way', (position, row) => {
  it('linear gains are the published ones', async () => {
    const [a, b] = await gains({ position });
    expect(a).toBeCloseTo(row.lin_a!, 6);
    expect(b).toBeCloseTo(row.lin_b!, 6);
    expect(a + b).toBeCloseTo(1, 6);
    expect(dB(Math.hypot(a, b))).toBeCloseTo(row.lin_uncorrelated_db!, 3);
  });

  it('equal-power gains are the published ones', async () => {
    const [a, b] = await gains({ position, law: 'equalPower' });
    expect(a).toBeCloseTo(row.ep_a!, 6);
    expect(b).toBeCloseTo(row.ep_b!, 6);
    expect(dB(Math.hypot(a, b))).toBeCloseTo(row.ep_uncorrelated_db!, 5);
    expect(dB(a + b)).toBeCloseTo(row.ep_correlated_db!, 3);
  });

  it('8 V at cv go the same way as the setting, a negative amount back', async () => {
    const [a, b] = await gains({ position: 0, law: 'equalPower' }, 8 * position);
    expect(a).toBeCloseTo(row.ep_a!, 6);
    expect(b).toBeCloseTo(row.ep_b!, 6);
    const [back] = await gains({ position: 1, cvAmount: -1 }, 8 * position);
    expect(back).toBeCloseTo(row.lin_b!, 6);
  });
});

it.each(['linear', 'equalPower'])('the ends pass one input to the bit, also beyond them (%s)', async (law) => {
  const next = uniform(4);
  const [a, b] = [0, 1].map(() => Float32Array.from({ length: 300 }, () => 24 * next() - 12));
  for (const [position, cv, expected] of [
    [0, -5, a],
    [1, 5, b],
    [0, 8, b],
  ] as const) {
    const { out } = await runKernel(spec, { frames: 300, settings: { position, law }, inputs: { a: a!, b: b!, cv } });
    expect(out).toEqual(expected);
  }
});

it.each(['linear', 'equalPower'])('follows a voltage at audio rate (%s)', async (law) => {
  const cv = (n: number): number => 4 + 4.5 * Math.sin(n * 0.9);
  const a = (n: number): number => 5 * Math.sin(n * 0.31);
  const { out } = await runKernel(spec, { frames: 500, settings: { law }, inputs: { a, b: 3, cv } });
  const error = worst(500, (n) => {
    const x = Math.min(Math.max(cv(n) / 8, 0), 1);
    const [gainA, gainB] = law === 'linear' ? [1 - x, x] : [Math.cos((x * Math.PI) / 2), Math.sin((x * Math.PI) / 2)];
    return out![n]! - a(n) * gainA - 3 * gainB;
  });
  expect(error).toBeLessThan(3e-6);
});

it.each(['linear', 'equalPower'])('constant inputs give the bits of moving ones (%s)', async (law) => {
  const settings = { position: 0.37, law };
  const held = await runKernel(spec, { frames: 64, settings, inputs: { a: 1.1, b: -2.3, cv: 0.7 } });
  for (const moves of ['a', 'b', 'cv']) {
    const inputs = { a: 1.1, b: -2.3, cv: 0.7 };
    const moving = { ...inputs, [moves]: (n: number) => (n < 64 ? inputs[moves as 'a'] : 0) };
    const { out } = await runKernel(spec, { frames: 128, settings, inputs: moving });
    expect(out!.subarray(0, 64)).toEqual(held.out);
  }
});

it('two full signals of equal power are clipped at the rails', async () => {
  const { out } = await runKernel(spec, { frames: 4, settings: { position: 0.5, law: 'equalPower' }, inputs: { a: 12, b: 12 } });
  expect(out![3]).toBe(12);
});

it('a gliding position moves by equal steps', async () => {
  const events = [{ frame: 50, setting: 'position', value: 1, glide: 240 }];
  const { out } = await runKernel(spec, { frames: 400, inputs: { a: -5, b: 5 }, events });
  expect(worst(400, (n) => out![n]! - (-5 + 10 * Math.min(Math.max((n - 50) / 240, 0), 1)))).toBeLessThan(3e-6);
});
