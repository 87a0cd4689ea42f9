// @vitest-environment node
/** Responses and tracking against published values: tests/published/topics. */
import { describe, expect, it } from 'vitest';
import { publishedTable } from '../../../tests/support/publishedTable.ts';
import { cents, frequencyOf, gainAt, impulse, peakOf, rmsOf } from '../../../tests/support/response.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { uniform } from '../../../tests/support/signals.ts';
import { worst } from '../../../tests/support/worst.ts';
import { spec } from './spec.ts';

const rate = 48000;
/** Q = 1 / k, k = 2 (1 - resonance): the catalogue's law. */
const resonanceOf = (q: number): number => 1 - 0.5 / q;

describe('response to small signals', () => {
  it.each(publishedTable('svf_landmarks').map((row) => [row.q as number, row] as const))('has the landmarks of Q = %f', async (q, row) => {
    const cutoff = 200; // far below the rate, where the analog figures hold
    const { lowpass, bandpass } = await runKernel(spec, {
      frames: 48000,
      settings: { cutoff, resonance: resonanceOf(q) },
      inputs: { in: impulse() },
    });
    expect(gainAt(lowpass!, cutoff, rate)).toBeCloseTo(row.lp_gain_at_fc_db as number, 1);
    expect(gainAt(lowpass!, cutoff * (row.lp_minus3_ratio as number), rate)).toBeCloseTo(-3.01, 1);
    const top = gainAt(bandpass!, cutoff, rate);
    expect(gainAt(bandpass!, cutoff * (row.bp_lo_ratio as number), rate) - top).toBeCloseTo(-3.01, 1);
    expect(gainAt(bandpass!, cutoff * (row.bp_hi_ratio as number), rate) - top).toBeCloseTo(-3.01, 1);
    const slope = gainAt(lowpass!, 8 * cutoff, rate) - gainAt(lowpass!, 4 * cutoff, rate);
    expect(Math.abs(slope - (row.lp_slope_4_8_db as number))).toBeLessThan(0.1);
  });

  it('is exactly proportional up to 4 V of ringing', async () => {
    const settings = { cutoff: 700, resonance: 0.95 };
    const run = (volts: number) =>
      runKernel(spec, { frames: 4000, settings, inputs: { in: (n) => volts * Math.sin((2 * Math.PI * 700 * n) / rate) } });
    const [loud, quiet] = [await run(0.4), await run(0.004)];
    expect(peakOf(loud.lowpass!)).toBeGreaterThan(3.9);
    expect(worst(4000, (n) => loud.lowpass![n]! - 100 * quiet.lowpass![n]!)).toBeLessThan(1e-5);
  });
});

describe('damping', () => {
  /** k from the ringing of the band-pass: an envelope e^(-k w t / 2), Q = 1 / k (filter texts). */
  async function dampingAt(resonance: number): Promise<number> {
    const cutoff = 480;
    const { bandpass } = await runKernel(spec, { frames: 12000, settings: { cutoff, resonance }, inputs: { in: impulse(0.01) } });
    const [early, late] = [rmsOf(bandpass!, 2400, 4800), rmsOf(bandpass!, 9600, 12000)];
    return (-2 * Math.log(late / early)) / (2 * Math.PI * cutoff * 0.15);
  }

  it.each([
    [0.98, 0.04],
    [0.99, 0.02],
    [0.9925, 0.01], // from here on the law is twice as steep
    [0.995, 0],
    [0.9975, -0.01],
    [1, -0.02],
  ])('k at resonance %f is %f', async (resonance, k) => {
    expect(Math.abs((await dampingAt(resonance)) - k)).toBeLessThan(1e-4);
  });
});

describe('self-oscillation', () => {
  it.each([
    [50, 7],
    [110, 3.5],
    [440, 1.5],
    [1760, 1],
    [5000, 1],
  ])('starts out of silence at %i Hz and settles as a sine of 5 V, in tune within 0.1 cent', async (cutoff, seconds) => {
    const { lowpass, bandpass } = await runKernel(spec, { frames: rate * seconds, settings: { cutoff, resonance: 1 } });
    const from = Math.floor(rate * seconds * 0.8);
    expect(Math.abs(cents(frequencyOf(lowpass!, rate, from), cutoff))).toBeLessThan(0.1);
    expect(peakOf(lowpass!, from)).toBeCloseTo(5, 1);
    // low-pass and band-pass are a sine and a cosine: no harmonics, no ripple
    const radius = worst(lowpass!.length - from, (n) => Math.hypot(lowpass![from + n]!, bandpass![from + n]!) - 5);
    expect(radius).toBeLessThan(0.02);
  });

  it('stays silent just below, and dies away when the resonance is turned down', async () => {
    const still = await runKernel(spec, { frames: rate, settings: { cutoff: 1000, resonance: 0.994 } });
    expect(peakOf(still.lowpass!)).toBeLessThan(1e-12);
    const { lowpass } = await runKernel(spec, {
      frames: 2 * rate,
      settings: { cutoff: 1000, resonance: 1 },
      events: [{ frame: rate, setting: 'resonance', value: 0.9, glide: 240 }],
    });
    expect(peakOf(lowpass!, rate - 4800, rate)).toBeGreaterThan(4.9);
    expect(peakOf(lowpass!, rate + 24000)).toBeLessThan(1e-6);
  });

  it('keeps its mean frequency under audio-rate modulation of the cutoff', async () => {
    // Exponential modulation by A sin: the mean of 2^(A sin) is I0(A ln 2) (DLMF 10.32), by its series here.
    const depth = 1;
    const x = depth * Math.LN2;
    const mean = 1 + x ** 2 / 4 + x ** 4 / 64 + x ** 6 / 2304;
    const { bandpass } = await runKernel(spec, {
      frames: 2.5 * rate,
      settings: { cutoff: 880, resonance: 1 },
      inputs: { cv: (n) => depth * Math.sin((2 * Math.PI * 100 * n) / rate) },
    });
    expect(Math.abs(cents(frequencyOf(bandpass!, rate, rate), 880 * mean))).toBeLessThan(5);
  });
});

describe('controls', () => {
  const tone = (n: number): number => Math.sin(n * 0.2) + 0.5 * Math.sin(n * 0.031);

  it('pitch, both cutoff inputs and the cutoff setting multiply as octaves', async () => {
    const inputs = { in: tone };
    const reference = await runKernel(spec, { frames: 2000, settings: { cutoff: 2000, resonance: 0.8 }, inputs });
    const settings = { cutoff: 500, resonance: 0.8, cvAmount: 0.5, cv2Amount: -1 };
    const moved = await runKernel(spec, { frames: 2000, settings, inputs: { ...inputs, pitch: 0.25, cv: 4, cv2: 0.25 } });
    expect(worst(2000, (n) => moved.lowpass![n]! - reference.lowpass![n]!)).toBeLessThan(1e-5);
  });

  it('8 V at the resonance input move the resonance by the amount, within 0 to 1', async () => {
    const run = (resonance: number, resonanceAmount: number, volts: number) =>
      runKernel(spec, { frames: 2000, settings: { cutoff: 900, resonance, resonanceAmount }, inputs: { in: tone, resonanceCv: volts } });
    const [reference, moved] = [await run(0.75, 0, 0), await run(0.25, 0.5, 8)];
    expect(worst(2000, (n) => moved.notch![n]! - reference.notch![n]!)).toBeLessThan(1e-5);
    expect((await run(0.5, -1, 12)).lowpass).toEqual((await run(0, 0.5, 0)).lowpass);
  });

  it.each([
    [48000, -12, 16],
    [48000, 12, 20000],
    [44100, 12, 0.45 * 44100],
  ])('the cutoff ends where it should (rate %i, pitch %i V: %f Hz)', async (sampleRate, pitch, hz) => {
    const run = (cutoff: number, volts: number) =>
      runKernel(spec, { sampleRate, frames: 4000, settings: { cutoff, resonance: 0.7 }, inputs: { in: tone, pitch: volts } });
    const [far, limit] = [await run(640, pitch), await run(hz, 0)];
    expect(far.lowpass).toEqual(limit.lowpass);
  });
});

describe('rough treatment', () => {
  it.each([1, 2, 3, 4, 5, 6])('stays finite under extreme audio-rate modulation and recovers (seed %i)', async (seed) => {
    const next = uniform(seed);
    const frames = 24000;
    const shapes = [() => 24 * next() - 12, () => (next() < 0.5 ? 12 : -12), (n: number) => (n & 1 ? 12 : -12), () => 12];
    const signal = (): Float32Array => {
      const shape = shapes[Math.floor(next() * shapes.length)] as (n: number) => number;
      return Float32Array.from({ length: frames }, (_, n) => (n < frames / 2 ? shape(n) : 0));
    };
    const inputs = Object.fromEntries(spec.inputs.map(({ id }) => [id, signal()]));
    const settings = { cutoff: seed % 2 ? 16 : 3000, resonance: 1, resonanceAmount: 1, cv2Amount: -1 };
    const quality = seed % 3 ? 1 : 8;
    const events = [
      { frame: frames / 2, setting: 'resonance', value: 0 },
      { frame: frames / 2, setting: 'cutoff', value: 3000 },
    ];
    const out = await runKernel(spec, { frames, quality, settings, inputs, events });
    for (const signal of Object.values(out)) {
      expect(signal.every((volts) => Math.abs(volts) <= 12)).toBe(true);
      expect(peakOf(signal, frames - 2000)).toBeLessThan(1e-6);
    }
  });

  it('holds strong ringing back short of the rails', async () => {
    const inputs = { in: (n: number) => Math.sin((2 * Math.PI * 500 * n) / rate) };
    const { bandpass } = await runKernel(spec, { frames: rate, settings: { cutoff: 500, resonance: 0.99 }, inputs });
    // linear, 1 V at Q = 50 would be 50 V
    expect(peakOf(bandpass!, rate / 2)).toBeLessThan(8);
    expect(rmsOf(bandpass!, rate / 2) * Math.SQRT2).toBeCloseTo(peakOf(bandpass!, rate / 2), 1); // still a sine
  });
});
