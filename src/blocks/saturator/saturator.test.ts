// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { publishedShaper } from '../../../tests/support/publishedShaper.ts';
import { peakOf } from '../../../tests/support/response.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { uniform } from '../../../tests/support/signals.ts';
import { ALIAS_FRAMES, coherentTone, cyclesOf, signalToAlias } from '../../../tests/support/signalToAlias.ts';
import { worst } from '../../../tests/support/worst.ts';
import { coherentSpectrum, lineAt } from '../../measure/spectrum.ts';
import { spec } from './spec.ts';

const rate = 48000;
const curve = (x: number): number => x / Math.sqrt(1 + x * x);
const law = (volts: number, dB: number, bias = 0): number => 5 * (curve((10 ** (dB / 20) * volts) / 5 + bias) - curve(bias));

describe('law', () => {
  it.each([1, 2, 4] as const)('a steady voltage comes out on the stated curve (quality %i)', async (quality) => {
    for (const [volts, drive, bias] of [
      [3, 0, 0],
      [-5, 20, 0],
      [12, 40, 0.3],
      [-1, 12, -1],
      [0.4, 30, 1],
    ] as const) {
      const { out } = await runKernel(spec, { quality, frames: 3000, settings: { drive, bias }, inputs: { in: volts } });
      expect(out![2999]).toBeCloseTo(law(volts, drive, bias), 5);
    }
  });

  it('a volt at cv adds 5 dB times the amount, within 0 and 40 dB', async () => {
    for (const [drive, cvAmount, cv] of [
      [10, 0.5, 4],
      [10, -0.5, 2],
      [10, -1, 8],
      [10, 1, 12],
    ] as const) {
      const { out } = await runKernel(spec, { frames: 3000, settings: { drive, cvAmount }, inputs: { in: 0.7, cv } });
      expect(out![2999]).toBeCloseTo(law(0.7, Math.min(Math.max(drive + 5 * cvAmount * cv, 0), 40)), 5);
    }
  });

  it.each([0, 20, 40])('small signals get louder by the drive: %i dB', async (drive) => {
    const cycles = cyclesOf(500, rate);
    const { out } = await runKernel(spec, { frames: 2 * ALIAS_FRAMES, settings: { drive }, inputs: { in: coherentTone(cycles, 0.0005) } });
    const amplitudes = coherentSpectrum(out!, ALIAS_FRAMES, ALIAS_FRAMES);
    expect(20 * Math.log10(amplitudes[cycles]! / 0.0005)).toBeCloseTo(drive, 2);
  });

  it.each([
    [0, 0],
    [20, 0],
    [12, 0.6],
  ])('the harmonics are those of the curve (%i dB, bias %f)', async (drive, bias) => {
    // Fourier integral of the curve over a period, by the trapezoidal rule (exact here beyond double precision).
    const points = 4096;
    const harmonic = (k: number): number => {
      let [re, im] = [0, 0];
      for (let i = 0; i < points; i++) {
        const angle = (2 * Math.PI * i) / points;
        re += law(5 * Math.sin(angle), drive, bias) * Math.cos(k * angle);
        im += law(5 * Math.sin(angle), drive, bias) * Math.sin(k * angle);
      }
      return ((k === 0 ? 1 : 2) * Math.hypot(re, im)) / points;
    };
    const cycles = cyclesOf(700, rate);
    const { out } = await runKernel(spec, { frames: 2 * ALIAS_FRAMES, settings: { drive, bias }, inputs: { in: coherentTone(cycles, 5) } });
    const amplitudes = coherentSpectrum(out!, ALIAS_FRAMES, ALIAS_FRAMES);
    for (let k = 0; k <= 25; k++)
      expect(Math.abs(amplitudes[k * cycles]! - harmonic(k)), `harmonic ${k}`).toBeLessThan(0.001 * harmonic(k) + 1e-4);
  });
});

describe('alias', () => {
  // Bars: 60 dB at quality 1 over the whole band, 90 dB at quality 4 below 20 kHz, at 20 dB of drive; measured figures in the titles.
  it.each([
    [1, 5, 20, 24000, 110, 113.9],
    [1, 12, 20, 24000, 88, 93.0],
    [1, 5, 40, 24000, 60, 61.5],
    [2, 5, 20, 20000, 120, 134.7],
    [4, 5, 20, 20000, 140, 155.8],
    [4, 12, 20, 20000, 94, 99.0],
  ] as const)(
    'quality %i, a sine of %i V, %i dB of drive, below %i Hz: %i dB at least (%f)',
    async (quality, volts, drive, limit, least, _measured) => {
      const cycles = cyclesOf(1244.51, rate * quality);
      const inputs = { in: coherentTone(cycles, volts) };
      const { out } = await runKernel(spec, { quality, frames: 2 * ALIAS_FRAMES, settings: { drive }, inputs });
      expect(signalToAlias(out!, cycles, rate * quality, limit)).toBeGreaterThan(least);
    },
  );

  it('is lower than what antiderivatives alone are published to reach on a soft limit, and the plain curve would fail', async () => {
    const cycles = 1699;
    const tone = coherentTone(cycles, 2.5); // gain 5 on a peak of half the limit at 20 dB
    const { out } = await runKernel(spec, { frames: 2 * ALIAS_FRAMES, settings: { drive: 20 }, inputs: { in: tone } });
    expect(signalToAlias(out!, cycles, rate)).toBeGreaterThan(Math.max(...publishedShaper('tanh', 5)) + 30);
    const full = coherentTone(cycles, 5);
    const plain = Float32Array.from({ length: ALIAS_FRAMES }, (_, n) => law(full(n), 20));
    expect(signalToAlias(plain, cycles, rate)).toBeLessThan(36);
  });
});

it('a loud tone ends at 5 V, and a band-limited square rings over it by a fifth of its step', async () => {
  const run = (drive: number) =>
    runKernel(spec, { frames: 20000, settings: { drive }, inputs: { in: coherentTone(cyclesOf(200, rate), 10) } });
  expect(peakOf((await run(12)).out!, 2000)).toBeCloseTo(law(10, 12), 3);
  const peak = peakOf((await run(40)).out!, 2000);
  expect(peak).toBeGreaterThan(5);
  expect(peak).toBeLessThan(5 + 0.2 * 10);
});

describe('small signals', () => {
  it.each([1, 2, 4] as const)('pass flat to 20 kHz within 0.05 dB, and as late as stated (quality %i)', async (quality) => {
    const engine = rate * quality;
    const gain = async (hz: number) => {
      const { out } = await runKernel(spec, {
        quality,
        frames: 6000 * quality,
        inputs: { in: (n) => 0.01 * Math.sin((2 * Math.PI * hz * n) / engine) },
      });
      return lineAt(out!, hz, engine, 'sevenTerm', 1200 * quality);
    };
    for (const hz of [100, 1000, 5000, 10000, 15000, 20000]) {
      expect(Math.abs(20 * Math.log10((await gain(hz)).amplitude / 0.01)), `${hz} Hz`).toBeLessThan(0.05);
    }
    const from = (1200 * quality * 200) / engine; // cycles before the measured stretch
    const cycles = from - ((await gain(200)).phase + Math.PI / 2) / (2 * Math.PI);
    expect((((cycles % 1) + 1) % 1) * (engine / 200)).toBeCloseTo({ 1: 3.85, 2: 1.21, 4: 0.28 }[quality], 2);
  });
});

describe('bias', () => {
  it('moves without a jump: silence stays at exactly 0 V, at rest, in a glide and at a switch', async () => {
    const events = [
      { frame: 100, setting: 'bias', value: 1, glide: 240 },
      { frame: 700, setting: 'bias', value: -1 },
      { frame: 1100, setting: 'bias', value: 0.3, glide: 100 },
    ];
    for (const quality of [1, 4] as const) {
      const { out } = await runKernel(spec, { quality, frames: 2000, settings: { drive: 40, bias: 0.5 }, events });
      expect(worst(2000, (n) => out![n]!)).toBe(0);
    }
  });

  it('brings in even harmonics, none without it', async () => {
    const cycles = cyclesOf(500, rate);
    const second = async (bias: number): Promise<number> => {
      const inputs = { in: coherentTone(cycles, 5) };
      const { out } = await runKernel(spec, { frames: 2 * ALIAS_FRAMES, settings: { drive: 12, bias }, inputs });
      const amplitudes = coherentSpectrum(out!, ALIAS_FRAMES, ALIAS_FRAMES);
      return 20 * Math.log10(amplitudes[2 * cycles]! / amplitudes[cycles]!);
    };
    expect(await second(0)).toBeLessThan(-120);
    expect(await second(0.5)).toBeGreaterThan(-25);
  });
});

it('does not depend on how the frames are cut where nothing is raised', async () => {
  const next = uniform(6);
  const inputs = { in: Float32Array.from({ length: 2000 }, () => 24 * next() - 12), cv: (n: number) => 4 * Math.sin(n / 9) };
  const events = [
    { frame: 333, setting: 'bias', value: 1, glide: 501 },
    { frame: 1111, setting: 'drive', value: 33, glide: 77 },
    { frame: 1501, setting: 'bias', value: -0.4 },
  ];
  for (const quality of [1, 2, 4] as const) {
    const whole = await runKernel(spec, { quality, frames: 2000, inputs, events });
    for (const cuts of [[1], [3, 128, 7]]) expect(await runKernel(spec, { quality, frames: 2000, inputs, events, cuts })).toEqual(whole);
  }
});

it('comes back to exactly 0 V after a burst at the rails', async () => {
  const next = uniform(2);
  const inputs = { in: (n: number) => (n < 2000 ? 24 * next() - 12 : 0), cv: (n: number) => (n < 2000 ? 24 * next() - 12 : 0) };
  const { out } = await runKernel(spec, { frames: 40000, settings: { drive: 40 }, inputs });
  expect(peakOf(out!, 0, 2000)).toBeGreaterThan(4);
  expect(peakOf(out!)).toBeLessThanOrEqual(12);
  expect(out!.subarray(6000).every((volts) => Object.is(volts, 0))).toBe(true);
});
