// @vitest-environment node
/** Both laws over their whole range: tests/published/topics/laws.ts. */
import { describe, expect, it } from 'vitest';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { spec } from './spec.ts';

const dB = (gain: number): number => 20 * Math.log10(gain);

/** Gain for a control voltage, measured on 4 V. */
async function gainAt(cv: number, settings: Record<string, number | string> = {}): Promise<number> {
  const { out } = await runKernel(spec, { frames: 8, settings, inputs: { in: 4, cv } });
  return out![7]! / 4;
}

describe('linear response', () => {
  it('is -6.02 dB at half control voltage', async () => {
    expect(dB(await gainAt(4))).toBeCloseTo(-6.0206, 4);
  });

  it('never opens beyond 1 nor below 0', async () => {
    expect(await gainAt(12)).toBe(1);
    expect(await gainAt(-12, { level: 1 })).toBe(0);
  });

  it('adds level and the scaled control voltage', async () => {
    expect(await gainAt(4, { level: 0.25, cvAmount: 0.5 })).toBeCloseTo(0.5, 6);
    expect(await gainAt(4, { level: 1, cvAmount: -1 })).toBeCloseTo(0.5, 6);
  });
});

describe('exponential response', () => {
  it('is unity when fully open', async () => {
    expect(await gainAt(8, { response: 'exponential' })).toBe(1);
  });

  it('shuts below an opening of 2 %', async () => {
    const settings = { response: 'exponential' };
    expect(await gainAt(8 * 0.0199, settings)).toBe(0);
    expect(dB(await gainAt(8 * 0.0201, settings))).toBeCloseTo(60 * (0.0201 - 1), 3);
  });

  it('follows a moving control voltage frame by frame', async () => {
    const cv = (n: number): number => 4 + 4 * Math.sin(n * 0.7);
    const { out } = await runKernel(spec, { frames: 300, settings: { response: 'exponential' }, inputs: { in: 5, cv } });
    for (let n = 0; n < 300; n++) {
      const x = Math.min(Math.max(Math.fround(cv(n)) / 8, 0), 1);
      expect(out![n]).toBeCloseTo(x < 0.02 ? 0 : 5 * 10 ** (3 * (x - 1)), 5);
    }
  });
});

it('a gliding level fades without steps', async () => {
  const { out } = await runKernel(spec, {
    frames: 600,
    settings: { level: 0 },
    inputs: { in: 10 },
    events: [{ frame: 100, setting: 'level', value: 1, glide: 240 }],
  });
  let most = 0;
  for (let n = 1; n < 600; n++) most = Math.max(most, Math.abs(out![n]! - out![n - 1]!));
  expect(most).toBeCloseTo(10 / 240, 4);
  expect(out![100]).toBe(0);
  expect(out![220]).toBeCloseTo(5, 4);
  expect(out![340]).toBe(10);
});

it('closed, it is silent to the bit, whatever comes in', async () => {
  const { out } = await runKernel(spec, { frames: 256, inputs: { in: (n) => 5 * Math.sin(n) } });
  expect(out!.every((volts) => Object.is(volts, 0))).toBe(true);
});
