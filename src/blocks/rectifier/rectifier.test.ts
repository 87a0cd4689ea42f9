// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { peakOf } from '../../../tests/support/response.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { uniform } from '../../../tests/support/signals.ts';
import { ALIAS_FRAMES, coherentTone, cyclesOf, signalToAlias } from '../../../tests/support/signalToAlias.ts';
import { worst } from '../../../tests/support/worst.ts';
import { coherentSpectrum, lineAt } from '../../measure/spectrum.ts';
import { spec } from './spec.ts';

const rate = 48000;

it.each([1, 2, 4] as const)('is exact for steady voltages (quality %i)', async (quality) => {
  for (const volts of [0, 3, -4.5, 12, -12]) {
    const { full, positive, negative } = await runKernel(spec, { quality, frames: 3000, inputs: { in: volts } });
    expect(full![2999]).toBeCloseTo(Math.abs(volts), 6);
    expect(positive![2999]).toBeCloseTo(Math.max(volts, 0), 6);
    expect(negative![2999]).toBeCloseTo(Math.min(volts, 0), 6);
  }
});

it('the parts together are the signal, late by the delay, and their difference is the full wave', async () => {
  const { full, positive, negative } = await runKernel(spec, {
    frames: 4000,
    inputs: { in: (n) => 4 * Math.sin(n / 40) + Math.sin(n / 11) },
  });
  const late = 3.96;
  expect(worst(2000, (n) => positive![n + 2000]! - negative![n + 2000]! - full![n + 2000]!)).toBeLessThan(2e-6);
  const input = (t: number): number => 4 * Math.sin(t / 40) + Math.sin(t / 11);
  expect(worst(2000, (n) => positive![n + 2000]! + negative![n + 2000]! - input(n + 2000 - late))).toBeLessThan(2e-3);
});

describe('spectrum', () => {
  // Fourier series of |sin|: 2 / pi, then 4 / (pi (4 k^2 - 1)) at every even harmonic (handbook; also the Fourier integral).
  it('of a rectified sine is the series of |sin|, and of its parts half of that and half of the sine', async () => {
    const cycles = cyclesOf(700, rate);
    const run = await runKernel(spec, { frames: 2 * ALIAS_FRAMES, inputs: { in: coherentTone(cycles, 5) } });
    const full = coherentSpectrum(run.full!, ALIAS_FRAMES, ALIAS_FRAMES);
    const positive = coherentSpectrum(run.positive!, ALIAS_FRAMES, ALIAS_FRAMES);
    expect(full[0]).toBeCloseTo(10 / Math.PI, 3);
    for (let k = 1; k <= 14; k++) {
      const expected = 20 / (Math.PI * (4 * k * k - 1));
      expect(Math.abs(full[2 * k * cycles]! - expected), `harmonic ${2 * k}`).toBeLessThan(0.002 * expected + 1e-5);
      expect(Math.abs(positive[2 * k * cycles]! - expected / 2)).toBeLessThan(0.002 * expected + 1e-5);
      expect(full[(2 * k - 1) * cycles]!).toBeLessThan(1e-5);
    }
    expect(positive[cycles]).toBeCloseTo(2.5, 3);
  });
});

describe('alias', () => {
  // Bars: 60 dB at quality 1 over the whole band, 90 dB at quality 4 below 20 kHz; measured figures in the titles.
  it.each([
    [1, 'full', 24000, 66, 69.9],
    [1, 'positive', 24000, 74, 77.8],
    [1, 'negative', 24000, 74, 77.8],
    [1, 'full', 20000, 105, 108.4],
    [2, 'full', 20000, 105, 108.5],
    [4, 'full', 20000, 108, 112.0],
  ] as const)('quality %i, %s wave of a 5 V sine, below %i Hz: %i dB at least (%f)', async (quality, output, limit, least, _measured) => {
    const cycles = cyclesOf(1244.51, rate * quality);
    const run = await runKernel(spec, { quality, frames: 2 * ALIAS_FRAMES, inputs: { in: coherentTone(cycles, 5) }, outputs: [output] });
    expect(signalToAlias(run[output]!, cycles, rate * quality, limit)).toBeGreaterThan(least);
  });

  it('the plain absolute value would fail', () => {
    const tone = coherentTone(1699, 5);
    const plain = Float32Array.from({ length: ALIAS_FRAMES }, (_, n) => Math.abs(tone(n)));
    expect(signalToAlias(plain, 1699, rate)).toBeLessThan(38);
  });
});

it.each([1, 2, 4] as const)('is flat to 20 kHz within 0.05 dB, and as late as stated (quality %i)', async (quality) => {
  const engine = rate * quality;
  const gain = async (hz: number) => {
    const inputs = { in: (n: number) => 6 + Math.sin((2 * Math.PI * hz * n) / engine) }; // always positive: nothing is bent
    const { full } = await runKernel(spec, { quality, frames: 6000 * quality, inputs });
    return lineAt(full!, hz, engine, 'sevenTerm', 1200 * quality);
  };
  for (const hz of [100, 1000, 5000, 10000, 15000, 20000]) {
    expect(Math.abs(20 * Math.log10((await gain(hz)).amplitude)), `${hz} Hz`).toBeLessThan(0.05);
  }
  const cycles = (1200 * quality * 200) / engine - ((await gain(200)).phase + Math.PI / 2) / (2 * Math.PI);
  expect((((cycles % 1) + 1) % 1) * (engine / 200)).toBeCloseTo({ 1: 3.96, 2: 1.43, 4: 0.71 }[quality], 2);
});

it('does not depend on how the frames are cut, nor on what else is read, at any quality', async () => {
  const next = uniform(6);
  const inputs = { in: Float32Array.from({ length: 2000 }, () => 24 * next() - 12) };
  for (const quality of [1, 2, 4] as const) {
    const whole = await runKernel(spec, { quality, frames: 2000, inputs });
    for (const cuts of [[1], [3, 128, 7]]) expect(await runKernel(spec, { quality, frames: 2000, inputs, cuts })).toEqual(whole);
    const { negative } = await runKernel(spec, { quality, frames: 2000, inputs, outputs: ['negative'] });
    expect(negative).toEqual(whole.negative);
  }
});

it('rests at exactly 0 V in silence, and comes back there after a burst at the rails', async () => {
  const next = uniform(2);
  const { full, positive, negative } = await runKernel(spec, { frames: 40000, inputs: { in: (n) => (n < 2000 ? 24 * next() - 12 : 0) } });
  expect(peakOf(full!, 0, 2000)).toBeGreaterThan(10);
  for (const out of [full, positive, negative]) expect(out!.subarray(6000).every((volts) => Object.is(volts, 0))).toBe(true);
});
