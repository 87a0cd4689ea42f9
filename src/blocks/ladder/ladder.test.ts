// @vitest-environment node
/** Response and tracking against published values: tests/published/topics. */
import { describe, expect, it } from 'vitest';
import { publishedTable } from '../../../tests/support/publishedTable.ts';
import { cents, frequencyOf, gainAt, impulse, peakOf, rmsOf } from '../../../tests/support/response.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { uniform } from '../../../tests/support/signals.ts';
import { worst } from '../../../tests/support/worst.ts';
import { coherentSpectrum } from '../../measure/spectrum.ts';
import { spec } from './spec.ts';

const rate = 48000;
/** k = 4 resonance / 0.95: the catalogue's law. */
const resonanceOf = (k: number): number => (0.95 * k) / 4;

describe('response to small signals', () => {
  it.each(publishedTable('ladder_landmarks').map((row) => [row.k as number, row] as const))(
    'has the landmarks of k = %f',
    async (k, row) => {
      const cutoff = 200; // far below the rate, where the analog figures hold
      const { lowpass24 } = await runKernel(spec, {
        frames: 96000,
        settings: { cutoff, resonance: resonanceOf(k) },
        inputs: { in: impulse() },
      });
      const gain = (ratio: number): number => gainAt(lowpass24!, cutoff * ratio, rate);
      const dc = row.dc_gain_db as number;
      expect(gain(0)).toBeCloseTo(dc, 2);
      expect(gain(1)).toBeCloseTo(row.gain_at_fc_db as number, 1);
      expect(gain(row.minus3_ratio as number) - dc).toBeCloseTo(-3.01, 1);
      if (k > 0) expect(gain(row.peak_ratio as number) - dc).toBeCloseTo(row.peak_re_dc_db as number, 1);
      expect(Math.abs(gain(8) - gain(4) - (row.slope_4_8_db as number))).toBeLessThan(0.1);
    },
  );

  it.each([
    [1000, 0],
    [1000, 3],
    [8000, 2],
  ])('the 12 dB tap is (1 + s)^2 / ((1 + s)^4 + k) (cutoff %i, k %i)', async (cutoff, k) => {
    const { lowpass12 } = await runKernel(spec, {
      frames: 16384,
      settings: { cutoff, resonance: resonanceOf(k) },
      inputs: { in: impulse() },
    });
    const hertz = [50, 200, 700, 1000, 1500, 4000, 8000, 12000, 18000];
    const error = worst(hertz.length, (i) => {
      const x = Math.tan((Math.PI * hertz[i]!) / rate) / Math.tan((Math.PI * cutoff) / rate); // bilinear transform
      const square = { re: 1 - x * x, im: 2 * x }; // (1 + jx)^2
      const fourth = { re: square.re ** 2 - square.im ** 2, im: 2 * square.re * square.im };
      const expected = 20 * Math.log10(Math.hypot(square.re, square.im) / Math.hypot(fourth.re + k, fourth.im));
      return gainAt(lowpass12!, hertz[i]!, rate) - expected;
    });
    expect(error).toBeLessThan(0.01);
  });
});

describe('self-oscillation', () => {
  it.each([
    [50, 6],
    [110, 3],
    [440, 1.5],
    [1760, 1],
    [5000, 1],
  ])('starts out of silence at %i Hz and settles at some volts, in tune within 0.2 cent', async (cutoff, seconds) => {
    const { lowpass24, lowpass12 } = await runKernel(spec, { frames: rate * seconds, settings: { cutoff, resonance: 1 } });
    const from = Math.floor(rate * seconds * 0.8);
    expect(Math.abs(cents(frequencyOf(lowpass24!, rate, from), cutoff))).toBeLessThan(0.2);
    expect(peakOf(lowpass24!, from)).toBeCloseTo(2.36, 1);
    expect(peakOf(lowpass12!, from)).toBeCloseTo(4.72, 1);
  });

  it.each([
    [3.98, 'dies'],
    [4.02, 'grows'],
  ])('begins at k = 4: at %f it %s (published: 4.00 +- 0.02)', async (k, fate) => {
    const { lowpass24 } = await runKernel(spec, {
      frames: 48000,
      settings: { cutoff: 100, resonance: resonanceOf(k) },
      inputs: { in: impulse() },
    });
    const ratio = rmsOf(lowpass24!, 38400) / rmsOf(lowpass24!, 9600, 19200);
    // The poles of (1 + s)^4 + k lie at s = -1 + k^(1/4) e^(j pi/4): the envelope over 0.6 s follows.
    const expected = Math.exp((k ** 0.25 * Math.SQRT1_2 - 1) * 2 * Math.PI * 100 * 0.6);
    expect(ratio > 1).toBe(fate === 'grows');
    expect(Math.abs(Math.log(ratio / expected))).toBeLessThan(0.01);
  });

  it('keeps its mean frequency under audio-rate modulation of the cutoff', async () => {
    // Exponential modulation by A sin: the mean of 2^(A sin) is I0(A ln 2) (DLMF 10.32), by its series here.
    const x = 0.5 * Math.LN2;
    const mean = 1 + x ** 2 / 4 + x ** 4 / 64;
    const { lowpass24 } = await runKernel(spec, {
      frames: 2.5 * rate,
      settings: { cutoff: 880, resonance: 1 },
      inputs: { cv: (n) => 0.5 * Math.sin((2 * Math.PI * 100 * n) / rate) },
    });
    expect(Math.abs(cents(frequencyOf(lowpass24!, rate, rate), 880 * mean))).toBeLessThan(5);
  });
});

describe('drive', () => {
  const size = 16384;
  const cycles = 171; // about 501 Hz, whole periods
  const tone = (volts: number) => (n: number) => volts * Math.sin((2 * Math.PI * cycles * n) / size);
  const run = async (drive: number, volts: number, cutoff = 20000) => {
    const settings = { cutoff, drive };
    const { lowpass24 } = await runKernel(spec, { frames: 2 * size, settings, inputs: { in: tone(volts) } });
    return lowpass24!;
  };

  it.each([0, 6, 20, 40])('%i dB is that much gain for small signals', async (drive) => {
    const [driven, clean] = [await run(drive, 0.001), await run(0, 0.001)];
    expect(20 * Math.log10(rmsOf(driven, size) / rmsOf(clean, size))).toBeCloseTo(drive, 3);
  });

  it('limits at 10 V, and 5 V still pass at 0 dB with 0.2 % distortion', async () => {
    const peak = peakOf(await run(40, 5, 5000), size);
    expect(peak).toBeLessThan(10.001);
    expect(peak).toBeGreaterThan(9.99);
    const amplitudes = coherentSpectrum(await run(0, 5), size, size);
    expect(amplitudes[3 * cycles]! / amplitudes[cycles]!).toBeLessThan(0.002);
  });

  it('adds odd harmonics only, more with more drive', async () => {
    const thirds: number[] = [];
    for (const drive of [0, 6, 12, 40]) {
      const amplitudes = coherentSpectrum(await run(drive, 5), size, size);
      expect(amplitudes[2 * cycles]! / amplitudes[cycles]!).toBeLessThan(1e-5);
      thirds.push(amplitudes[3 * cycles]! / amplitudes[cycles]!);
    }
    expect([...thirds].sort((a, b) => a - b)).toEqual(thirds);
    expect(thirds[3]).toBeCloseTo(1 / 3, 1); // a square, seen through a little low-pass
  });

  it('glides without steps', async () => {
    const settings = { cutoff: 20000, drive: 0 };
    const events = [{ frame: 1000, setting: 'drive', value: 20, glide: 2400 }];
    const { lowpass24 } = await runKernel(spec, { frames: 4000, settings, inputs: { in: 0.1 }, events });
    let step = 0;
    for (let n = 1001; n < 4000; n++) step = Math.max(step, Math.abs(20 * Math.log10(lowpass24![n]! / lowpass24![n - 1]!)));
    expect(step).toBeLessThan(0.01); // 20 dB over 2400 frames: 0.0083 dB each
    expect(lowpass24![3999]).toBeCloseTo(1, 4);
  });
});

describe('controls', () => {
  const tone = (n: number): number => Math.sin(n * 0.2) + 0.5 * Math.sin(n * 0.031);

  it('pitch, both cutoff inputs and the cutoff setting multiply as octaves', async () => {
    const reference = await runKernel(spec, { frames: 2000, settings: { cutoff: 2000, resonance: 0.8 }, inputs: { in: tone } });
    const settings = { cutoff: 500, resonance: 0.8, cvAmount: 0.5, cv2Amount: -1 };
    const moved = await runKernel(spec, { frames: 2000, settings, inputs: { in: tone, pitch: 0.25, cv: 4, cv2: 0.25 } });
    expect(worst(2000, (n) => moved.lowpass24![n]! - reference.lowpass24![n]!)).toBeLessThan(1e-5);
  });

  it('8 V at the resonance input move the resonance by the amount, within 0 to 1', async () => {
    const run = (resonance: number, resonanceAmount: number, volts: number) =>
      runKernel(spec, { frames: 2000, settings: { cutoff: 900, resonance, resonanceAmount }, inputs: { in: tone, resonanceCv: volts } });
    const [reference, moved] = [await run(0.75, 0, 0), await run(0.25, 0.5, 8)];
    expect(worst(2000, (n) => moved.lowpass12![n]! - reference.lowpass12![n]!)).toBeLessThan(1e-5);
    expect((await run(0.5, -1, 12)).lowpass24).toEqual((await run(0, 0.5, 0)).lowpass24);
  });

  it.each([
    [48000, -12, 16],
    [48000, 12, 20000],
    [44100, 12, 0.45 * 44100],
  ])('the cutoff ends where it should (rate %i, pitch %i V: %f Hz)', async (sampleRate, pitch, hz) => {
    const run = (cutoff: number, volts: number) =>
      runKernel(spec, { sampleRate, frames: 4000, settings: { cutoff, resonance: 0.7 }, inputs: { in: tone, pitch: volts } });
    expect((await run(640, pitch)).lowpass24).toEqual((await run(hz, 0)).lowpass24);
  });

  it('constant inputs give the bits of moving ones', async () => {
    const settings = { cutoff: 800, resonance: 0.9, drive: 6 };
    const held = await runKernel(spec, { frames: 64, settings, inputs: { in: tone, pitch: 0.37, cv: -0.61, resonanceCv: 0.3 } });
    const moving = await runKernel(spec, {
      frames: 128,
      settings,
      inputs: { in: tone, pitch: (n) => (n < 64 ? 0.37 : 0), cv: (n) => (n < 64 ? -0.61 : 1), resonanceCv: 0.3 },
    });
    expect(moving.lowpass24!.subarray(0, 64)).toEqual(held.lowpass24);
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
    const settings = { cutoff: seed % 2 ? 16 : 3000, resonance: 1, resonanceAmount: 1, cv2Amount: -1, drive: 20 * (seed % 3) };
    const events = [
      { frame: frames / 2, setting: 'resonance', value: 0 },
      { frame: frames / 2, setting: 'cutoff', value: 3000 },
    ];
    const out = await runKernel(spec, { frames, quality: seed % 3 ? 1 : 8, settings, inputs, events });
    for (const signal of Object.values(out)) {
      expect(signal.every((volts) => Math.abs(volts) <= 12)).toBe(true);
      expect(peakOf(signal, frames - 2000)).toBeLessThan(1e-6);
    }
  });
});
