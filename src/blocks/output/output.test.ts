// @vitest-environment node
import { expect, it } from 'vitest';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { worst } from '../../../tests/support/worst.ts';
import { spec } from './spec.ts';

const wave = (n: number): number => 5 * Math.sin(n * 0.11);
const plain = { dcBlock: false, ceiling: false };

it.each([-60, -6, 0, 6])('level %i dB is a factor of 10^(dB / 20)', async (level) => {
  const { busLeft } = await runKernel(spec, { frames: 300, settings: { ...plain, level }, inputs: { left: wave } });
  const factor = 10 ** (level / 20);
  expect(worst(300, (n) => busLeft![n]! / factor - wave(n))).toBeLessThan(2e-6);
});

it('does not clip: the ceiling comes after the sum of all outputs', async () => {
  const { busLeft } = await runKernel(spec, { frames: 4, settings: { ...plain, level: 6 }, inputs: { left: 12 } });
  expect(busLeft![3]).toBeCloseTo(12 * 10 ** 0.3, 4);
});

it('an unpatched right input carries the left signal, a patched one its own', async () => {
  for (const dcBlock of [false, true]) {
    const settings = { ...plain, dcBlock };
    const mono = await runKernel(spec, { frames: 400, settings, inputs: { left: wave } });
    expect(mono.busRight).toEqual(mono.busLeft);
    const stereo = await runKernel(spec, { frames: 400, settings, inputs: { left: wave, right: 0 } });
    expect(stereo.busLeft).toEqual(mono.busLeft);
    expect(stereo.busRight!.every((volts) => volts === 0)).toBe(true);
  }
});

it('a gliding level is even in dB', async () => {
  const { busLeft } = await runKernel(spec, {
    frames: 600,
    settings: { ...plain, level: 0 },
    inputs: { left: 5 },
    events: [{ frame: 100, setting: 'level', value: -24, glide: 240 }],
  });
  expect(worst(600, (n) => 20 * Math.log10(busLeft![n]! / 5) + 24 * Math.min(Math.max((n - 100) / 240, 0), 1))).toBeLessThan(1e-4);
});

// A first-order high-pass forgets a step as e^(-2 pi f t): 5 Hz leaves 1.5e-7 after half a second.
it('the dc block removes a step of direct voltage as a 5 Hz high-pass does', async () => {
  const { busLeft } = await runKernel(spec, { frames: 24001, settings: { level: 0, ceiling: false }, inputs: { left: 10 } });
  for (const t of [0.01, 0.05, 0.1]) expect(busLeft![Math.round(t * 48000)]! / 10).toBeCloseTo(Math.exp(-2 * Math.PI * 5 * t), 3);
  expect(Math.abs(busLeft![24000]!) / 10).toBeLessThan(2e-7);
});

it('switching the dc block on makes no step', async () => {
  const { busLeft } = await runKernel(spec, {
    frames: 600,
    settings: { ...plain, level: 0 },
    inputs: { left: 5 },
    events: [{ frame: 300, setting: 'dcBlock', value: true }],
  });
  expect(worst(599, (n) => busLeft![n + 1]! - busLeft![n]!)).toBeLessThan(5e-3);
  expect(busLeft![599]).toBeLessThan(4.9);
});
