// @vitest-environment node
/** The laws of docs.md and of the catalogue; what a drum is has no published figure (common practice, no source). */
import { describe, expect, it } from 'vitest';
import { gateSignal } from '../../../tests/support/edges.ts';
import { gainAt, peakOf, rmsOf } from '../../../tests/support/response.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { worst } from '../../../tests/support/worst.ts';
import { findClicks } from '../../measure/clicks.ts';
import { spec } from './spec.ts';

const rate = 48000;
const struckAt = (...frames: number[]) => gateSignal(...frames.map((frame): [number, number] => [frame, frame + 48]));

/** The stroke from its first frame on, worked out afresh: 5 V x gain, phase summed up frame by frame. */
function stroke(
  frames: number,
  engineRate: number,
  law: { tune: number; bend?: number; bendTime?: number; decay: number; octaves?: (n: number) => number },
): Float64Array {
  const { tune, bend = 0, bendTime = 0.04, decay, octaves = () => 0 } = law;
  let phase = 0;
  return Float64Array.from({ length: frames }, (_, n) => {
    const t = n / engineRate;
    phase += (tune * 2 ** (octaves(n) + bend * 10 ** (-t / bendTime))) / engineRate;
    return 5 * 10 ** ((-3 * t) / decay) * Math.sin(2 * Math.PI * phase);
  });
}

describe('a stroke', () => {
  it.each([
    [44100, 1],
    [48000, 1],
    [48000, 4],
    [96000, 1],
  ] as const)(
    'falls in pitch and loudness as stated, from the frame of its trigger on (%i Hz, quality %i)',
    async (sampleRate, quality) => {
      const engineRate = sampleRate * quality;
      const settings = { tune: 60, bend: 2.5, bendTime: 0.05, decay: 0.5, tone: 0 };
      const { out } = await runKernel(spec, { sampleRate, quality, frames: engineRate / 2, settings, inputs: { trigger: struckAt(777) } });
      expect(out!.findIndex((volts) => volts !== 0)).toBe(777);
      const expected = stroke(engineRate / 2 - 777, engineRate, settings);
      expect(worst(expected.length, (n) => out![777 + n]! - expected[n]!)).toBeLessThan(1e-5);
    },
  );

  it('rests at its tune, one volt per octave higher with each volt at Pitch, also while it sounds', async () => {
    const settings = { tune: 110, bend: 0, decay: 2, tone: 0 };
    const glide = (n: number) => Math.fround(n < 1000 ? 1 : 1 - (n - 1000) / 24000);
    const { out } = await runKernel(spec, { frames: rate / 2, settings, inputs: { trigger: struckAt(0), pitch: glide } });
    const expected = stroke(rate / 2, rate, { tune: 110, decay: 2, octaves: glide });
    expect(worst(expected.length, (n) => out![n]! - expected[n]!)).toBeLessThan(1e-5);
  });

  it('is the same each time it begins out of silence, and ends in true silence', async () => {
    const { out } = await runKernel(spec, { frames: 3 * rate, settings: { decay: 0.2 }, inputs: { trigger: struckAt(10, 50021, 100333) } });
    for (const at of [50021, 100333]) expect(worst(20000, (n) => out![at + n]! - out![10 + n]!)).toBe(0);
    expect(peakOf(out!, 10 + 0.41 * rate, 50021)).toBe(0);
  });

  it('is 5 V strong, twice that with an accent of 8 V, nothing at -8 V; the accent counts when it begins', async () => {
    const run = async (accent: number | ((n: number) => number)) =>
      (await runKernel(spec, { frames: 9000, settings: { tone: 0, decay: 5 }, inputs: { trigger: struckAt(100), accent } })).out!;
    const plain = await run(0);
    expect(peakOf(plain)).toBeGreaterThan(4.8);
    expect(peakOf(plain)).toBeLessThanOrEqual(5);
    const accented = await run((n) => (n === 100 ? 8 : -3));
    expect(worst(9000, (n) => accented[n]! - 2 * plain[n]!)).toBeLessThan(1e-5);
    expect(peakOf(await run(-8))).toBe(0);
    expect(await run(12)).toEqual(await run(8));
  });

  it('never comes without a trigger', async () => {
    expect(peakOf((await runKernel(spec, { frames: 3000 })).out!)).toBe(0);
  });
});

describe('a stroke into one that still sounds', () => {
  const settings = { tune: 90, bend: 1, decay: 3, tone: 0.5 };

  it('begins like the first one, beside a rest that is gone within 20 ms', async () => {
    const { out } = await runKernel(spec, { frames: rate, settings, inputs: { trigger: struckAt(100, 6000) } });
    expect(worst(4900, (n) => out![6000 + 960 + n]! - out![100 + 960 + n]!)).toBeLessThan(0.001);
    expect(Math.abs(out![6000]! - out![5999]!)).toBeLessThan(0.3);
  });

  it.each([5500, 5633, 5777, 5901, 6011])('does not click, wherever the wave stands (frame %i)', async (again) => {
    const { out } = await runKernel(spec, { frames: 24000, settings, inputs: { trigger: struckAt(100, again) } });
    // The first stroke's own onset is the measure: nothing sharper may come.
    const bend = (n: number) => Math.abs(out![n - 1]! - 2 * out![n]! + out![n + 1]!);
    const onset = worst(8, (k) => bend(96 + k));
    expect(worst(200, (k) => bend(again - 100 + k))).toBeLessThan(1.3 * onset);
    expect(findClicks(out!, { ratio: 1.3, least: 1.3 * onset })).toEqual([]);
    // cut off instead, the wave would jump
    const cut = Float32Array.from(out!, (volts, n) => (n < again ? volts : out![n - again + 100]!));
    if (Math.abs(out![again - 1]!) > 1)
      expect(worst(4, (k) => Math.abs(cut[again - 2 + k]! - 2 * cut[again - 1 + k]! + cut[again + k]!))).toBeGreaterThan(2 * onset);
  });

  it('stays within the rails and steady when strokes come 500 times a second', async () => {
    const frames = Array.from({ length: 400 }, (_, i) => 100 + 96 * i);
    const { out } = await runKernel(spec, { frames: rate, settings, inputs: { trigger: struckAt(...frames) } });
    expect(worst(rate - 1, (n) => out![n + 1]! - out![n]!)).toBeLessThan(1);
    expect(peakOf(out!)).toBeLessThan(12);
  });
});

describe('tone and noise', () => {
  it('tone 1 has the partials of a triangle, 1 / n^2 (published Fourier series), and sheds them near the top', async () => {
    const level = async (tune: number, hz: number, tone: number) => {
      const { out } = await runKernel(spec, {
        frames: 2 * rate,
        settings: { tune, bend: 0, decay: 5, tone },
        inputs: { trigger: struckAt(0) },
      });
      const window = out!.map((volts, n) => volts * 10 ** ((3 * n) / (5 * rate)) * Math.sin((Math.PI * n) / (2 * rate)) ** 2);
      return gainAt(window, hz, rate);
    };
    const base = await level(200, 200, 1);
    for (const n of [3, 5, 7]) expect((await level(200, 200 * n, 1)) - base).toBeCloseTo(-40 * Math.log10(n), 1);
    expect((await level(200, 600, 0)) - (await level(200, 200, 0))).toBeLessThan(-90);
    expect((await level(3500, 9000, 1)) - base).toBeLessThan(-90); // no alias of a third partial at 10.5 kHz, nor the partial of a lower one
  });

  const noise = async (settings: Record<string, number>, more: Partial<Parameters<typeof runKernel>[1]> = {}) =>
    (await runKernel(spec, { frames: 24000, settings: { noise: 1, decay: 5, ...settings }, inputs: { trigger: 8 }, ...more })).out!;

  it('opens the noise from dull to bright at the same loudness', async () => {
    const slope = (signal: Float32Array) => rmsOf(signal.map((volts, n) => volts - (signal[n - 1] ?? 0))) / rmsOf(signal);
    const [dull, middle, bright] = [await noise({ tone: 0 }), await noise({ tone: 0.5 }), await noise({ tone: 1 })];
    expect(slope(dull)).toBeLessThan(0.7 * slope(middle));
    expect(slope(middle)).toBeLessThan(0.7 * slope(bright));
    for (const signal of [dull, middle, bright]) expect(Math.abs(rmsOf(signal, 0, 4800) - 1.7)).toBeLessThan(0.25); // 0.35 of 5 V
  });

  it('is the same noise at every quality, another one with another seed', async () => {
    const reference = await noise({});
    const fine = await noise({}, { quality: 4, frames: 4 * 24000 });
    expect(worst(24000, (n) => fine[4 * n]! - reference[n]!)).toBeLessThan(1e-4);
    expect(worst(24000, (n) => reference[n]! - (reference[n + 1] ?? 0))).toBeGreaterThan(1);
    expect(await noise({}, { seed: 2 })).not.toEqual(reference);
  });

  it('noise goes from the tone alone to the noise alone', async () => {
    const [tone, half, all] = [await noise({ noise: 0 }), await noise({ noise: 0.5 }), await noise({ noise: 1 })];
    expect(worst(24000, (n) => half[n]! - 0.5 * (tone[n]! + all[n]!))).toBeLessThan(1e-5);
  });
});
