// @vitest-environment node
/** Spectrum of a folded sine: tests/published/topics/modulation.ts. */
import { describe, expect, it } from 'vitest';
import { publishedShaper } from '../../../tests/support/publishedShaper.ts';
import { peakOf } from '../../../tests/support/response.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { uniform } from '../../../tests/support/signals.ts';
import { ALIAS_FRAMES, coherentTone, cyclesOf, signalToAlias } from '../../../tests/support/signalToAlias.ts';
import { worst } from '../../../tests/support/worst.ts';
import { lineAt } from '../../measure/spectrum.ts';
import { spec } from './spec.ts';

const rate = 48000;
const clamp = (x: number, low: number, high: number): number => Math.min(Math.max(x, low), high);

/** The catalogue's law. */
function law(volts: number, fold: number, symmetry = 0): number {
  return 5 * Math.sin(((1 + 11 * clamp(fold, 0, 1)) * volts) / 5 + (clamp(symmetry, -1, 1) * Math.PI) / 2);
}

describe('law', () => {
  it.each([1, 2, 4] as const)(
    'a steady voltage comes out as 5 sin((1 + 11 x amount) x in / 5 + symmetry x pi / 2) (quality %i)',
    async (quality) => {
      for (const [volts, fold, symmetry] of [
        [3, 0, 0],
        [-5, 1, 0],
        [12, 1, 0.3],
        [0, 0.2, 0.5],
        [4.1, 0.37, -1],
        [-0.7, 0.8, 1],
      ] as const) {
        const { out } = await runKernel(spec, { quality, frames: 3000, settings: { fold, symmetry }, inputs: { in: volts } });
        expect(out![2999]).toBeCloseTo(law(volts, fold, symmetry), 5);
      }
    },
  );

  it('8 V at the fold input are the whole range by the amount, 5 V at the symmetry input a shift of 1', async () => {
    for (const [cv, cvAmount, fold, symmetryCv, symmetry] of [
      [4, 1, 0.25, 0, 0],
      [8, -0.5, 0.9, 1, 0.1],
      [12, 1, 0.5, -12, 0.5],
      [-12, 1, 0.5, 2.5, -0.25],
    ] as const) {
      const settings = { cvAmount, fold, symmetry };
      const { out } = await runKernel(spec, { frames: 3000, settings, inputs: { in: 2.2, cv, symmetryCv } });
      expect(out![2999]).toBeCloseTo(law(2.2, fold + (cvAmount * cv) / 8, symmetry + symmetryCv / 5), 5);
    }
  });
});

describe('alias', () => {
  // Bars: 60 dB at quality 1 over the whole band, 90 dB at quality 4 below 20 kHz; measured figures in the titles.
  it.each([
    [1, 5, 0, 24000, 130, 133.8],
    [1, 5, 0.5, 24000, 90, 96.1],
    [1, 12, 0, 24000, 75, 79.4],
    [2, 12, 0, 20000, 110, 122.9],
    [4, 5, 0, 20000, 130, 140.2],
    [4, 12, 0, 20000, 120, 126.1],
  ] as const)(
    'quality %i, a sine of %i V at full fold, symmetry %f, below %i Hz: %i dB at least (%f)',
    async (quality, volts, symmetry, limit, least, _measured) => {
      const cycles = cyclesOf(1244.51, rate * quality);
      const inputs = { in: coherentTone(cycles, volts) };
      const { out } = await runKernel(spec, { quality, frames: 2 * ALIAS_FRAMES, settings: { fold: 1, symmetry }, inputs });
      expect(signalToAlias(out!, cycles, rate * quality, limit)).toBeGreaterThan(least);
    },
  );

  it('is lower than with antiderivatives alone (published for 10 pi / 2 radians), and the plain formula would fail', async () => {
    const published = publishedShaper('sinfold', 10); // plain, first and second antiderivative
    const cycles = 1699;
    const volts = (5 * 10 * (Math.PI / 2)) / 12;
    const tone = coherentTone(cycles, volts);
    const { out } = await runKernel(spec, { frames: 2 * ALIAS_FRAMES, settings: { fold: 1 }, inputs: { in: tone } });
    expect(signalToAlias(out!, cycles, rate)).toBeGreaterThan(Math.max(...published) + 40);
    const plain = Float32Array.from({ length: ALIAS_FRAMES }, (_, n) => law(tone(n), 1));
    expect(signalToAlias(plain, cycles, rate)).toBeCloseTo(published[0]!, 1);
    const loud = Float32Array.from({ length: ALIAS_FRAMES }, (_, n) => law((tone(n) / volts) * 12, 1));
    expect(signalToAlias(loud, cycles, rate)).toBeLessThan(5);
  });
});

describe('small signals', () => {
  it.each([1, 2, 4] as const)('pass flat to 20 kHz within 0.05 dB, and as late as stated (quality %i)', async (quality) => {
    const engine = rate * quality;
    const gain = async (hz: number) => {
      const { out } = await runKernel(spec, {
        quality,
        frames: 6000 * quality,
        inputs: { in: (n) => 0.05 * Math.sin((2 * Math.PI * hz * n) / engine) },
      });
      return lineAt(out!, hz, engine, 'sevenTerm', 1200 * quality);
    };
    for (const hz of [100, 1000, 5000, 10000, 15000, 20000]) {
      expect(Math.abs(20 * Math.log10((await gain(hz)).amplitude / 0.05)), `${hz} Hz`).toBeLessThan(0.05);
    }
    const from = (1200 * quality * 200) / engine; // cycles before the measured stretch
    const line = await gain(200);
    const cycles = -(line.phase + Math.PI / 2) / (2 * Math.PI) + from;
    const delay = (((cycles % 1) + 1) % 1) * (engine / 200);
    expect(delay).toBeCloseTo({ 1: 3.85, 2: 1.21, 4: 0.28 }[quality], 2);
  });
});

it('does not depend on how the frames are cut where nothing is raised', async () => {
  const next = uniform(6);
  const inputs = { in: Float32Array.from({ length: 2000 }, () => 24 * next() - 12), cv: (n: number) => 4 + 4 * Math.sin(n / 9) };
  const whole = await runKernel(spec, { quality: 4, frames: 2000, inputs });
  for (const cuts of [[1], [3, 128, 7]]) expect(await runKernel(spec, { quality: 4, frames: 2000, inputs, cuts })).toEqual(whole);
});

it('a slow wave is folded as exactly as a fast one', async () => {
  const wave = (n: number): number => 5 * Math.sin((2 * Math.PI * 2 * n) / rate);
  const { out } = await runKernel(spec, { frames: rate, settings: { fold: 1 }, inputs: { in: wave } });
  expect(worst(rate - 1000, (n) => out![n + 1000]! - law(wave(n + 1000 - 3.85), 1))).toBeLessThan(2e-4);
});

it('rests at exactly 0 V in silence, and comes back there after a burst at the rails', async () => {
  const silent = await runKernel(spec, { frames: 500, settings: { fold: 1 } });
  expect(worst(500, (n) => silent.out![n]!)).toBe(0);
  const next = uniform(2);
  const inputs = { in: (n: number) => (n < 2000 ? 24 * next() - 12 : 0), cv: (n: number) => (n < 2000 ? 24 * next() - 12 : 0) };
  const { out } = await runKernel(spec, { frames: 40000, settings: { fold: 0.5 }, inputs });
  expect(peakOf(out!, 0, 2000)).toBeGreaterThan(4);
  expect(out!.subarray(6000).every((volts) => Object.is(volts, 0))).toBe(true);
});
