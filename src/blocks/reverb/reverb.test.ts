// @vitest-environment node
/**
 * Decay by M. Schroeder's backward integration (ISO 3382-1: the slope between -5 and -25 dB, T20), echo density after J. Abel and
 * P. Huang (AES 121st Convention, 2006), spectrum against the statistics of diffuse sound fields (Schroeder 1954: Rayleigh).
 */
import { describe, expect, it } from 'vitest';
import { decayTime, energyLevels } from '../../../tests/support/energyDecay.ts';
import { impulse, peakOf, rmsOf } from '../../../tests/support/response.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { runPatch } from '../../../tests/support/runPatch.ts';
import { uniform } from '../../../tests/support/signals.ts';
import { worst } from '../../../tests/support/worst.ts';
import { findClicks } from '../../measure/clicks.ts';
import { spec } from './spec.ts';

const rate = 48000;

/** Responses of both sides to an impulse of 5 V on both. */
async function respond(
  settings: Record<string, number>,
  seconds: number,
  sampleRate = rate,
): Promise<readonly [Float32Array, Float32Array]> {
  const inputs = { left: impulse(5), right: impulse(5) };
  const { left, right } = await runKernel(spec, {
    sampleRate,
    frames: Math.round(seconds * sampleRate),
    settings: { mix: 1, ...settings },
    inputs,
  });
  return [left!, right!];
}

/** Seconds for 60 dB, from the energies of all responses together. */
const decayOf = (responses: readonly Float32Array[], sampleRate = rate): number => decayTime(energyLevels(responses), sampleRate);

/** What lies within about `width` hertz of `hz`: turned down to 0 Hz and smoothed, real and imaginary part. */
function around(signal: Float32Array, hz: number, width: number, sampleRate = rate): Float32Array[] {
  const step = 1 - Math.exp((-2 * Math.PI * width * 2.3) / sampleRate); // four poles, together 3 dB down at `width`
  return [0, 0.25].map((quarter) => {
    const state = [0, 0, 0, 0];
    return signal.map((volts, n) => {
      let x = volts * Math.cos(2 * Math.PI * ((hz * n) / sampleRate + quarter));
      for (let pole = 0; pole < 4; pole++) x = state[pole] = state[pole]! + step * (x - state[pole]!);
      return x;
    });
  });
}

describe('decay', () => {
  it.each([
    [0.3, 0],
    [0.3, 0.5],
    [0.3, 1],
    [1, 0],
    [1, 1],
    [2, 0.5],
    [5, 0.3],
    [10, 0],
    [10, 1],
  ])('is what it says, within a twentieth (%f s, size %f, no damping)', async (decay, size) => {
    expect(Math.abs(decayOf(await respond({ decay, size, damping: 0 }, 0.6 * decay + 0.5)) / decay - 1)).toBeLessThan(0.05);
  });

  it.each([
    [44100, 1],
    [96000, 1],
    [192000, 8],
  ] as const)('at %i Hz and quality %i too, in the largest room', async (sampleRate, quality) => {
    const frames = 0.7 * sampleRate * quality;
    const settings = { decay: 0.6, size: 1, damping: 0, mix: 1 };
    const { left, right } = await runKernel(spec, {
      sampleRate,
      quality,
      frames,
      settings,
      inputs: { left: impulse(5), right: impulse(5) },
    });
    expect(Math.abs(decayOf([left!, right!], sampleRate * quality) / 0.6 - 1)).toBeLessThan(0.05);
  });

  it.each([
    [0.5, 0, 0.4],
    [1, 0.5, 0.4],
    [2, 0.5, 0.4],
    [2, 1, 1],
    [5, 0.5, 0.7],
    [10, 0.5, 0.4],
  ])(
    'holds for low tones whatever the damping, within a tenth from 60 to 250 Hz (%f s, size %f, damping %f)',
    async (decay, size, damping) => {
      // a narrow band has few resonances: two sides and two sizes beside each other even out their beating
      const responses = await Promise.all(
        [-0.02, 0, 0.02].map((off) => respond({ decay, damping, size: Math.min(1, Math.max(0, size + off)) }, 0.7 * decay + 0.5)),
      );
      expect(Math.abs(decayOf(responses.flat().flatMap((response) => around(response, 155, 95))) / decay - 1)).toBeLessThan(0.1);
    },
  );

  it.each([
    [1, 0.2],
    [2, 0.4],
    [5, 0.7],
    [8, 1],
  ])('at 5 kHz it is shorter by a factor of 10^damping, within a fifth (%f s, damping %f)', async (decay, damping) => {
    const responses = await respond({ decay, damping }, 0.6 * decay + 0.3);
    const expected = decay * 10 ** -damping;
    const highs = responses.flatMap((response) => around(response, 5000, 200));
    expect(Math.abs(decayOf(highs) / expected - 1)).toBeLessThan(0.2);
  });

  it('of a minute falls by a decibel each second, and the swing of the matrix neither feeds nor starves it', async () => {
    const responses = await respond({ decay: 60, damping: 0 }, 16);
    const level = (second: number) =>
      20 * Math.log10(Math.hypot(...responses.map((response) => rmsOf(response, second * rate, (second + 2) * rate))));
    expect(level(2) - level(13)).toBeGreaterThan(11 * 0.95);
    expect(level(2) - level(13)).toBeLessThan(11 * 1.05);
    for (let second = 2; second < 13; second++) expect(level(second + 1)).toBeLessThan(level(second) + 0.2);
  });
});

describe('the room', () => {
  it.each([
    [0, 0.06],
    [0.5, 0.12],
    [1, 0.6],
  ])('fills with echoes: density of noise at size %f after %f s', async (size, seconds) => {
    const [left] = await respond({ size, decay: 3, damping: 0 }, seconds + 0.5);
    // share of frames beyond one standard deviation, over that of Gaussian noise, in windows of 20 ms
    const density = (at: number): number => {
      const window = left.subarray(at, at + 960);
      const sigma = rmsOf(window);
      return window.reduce((count, volts) => count + (Math.abs(volts) > sigma ? 1 : 0), 0) / 960 / 0.3173;
    };
    let mean = 0;
    for (let k = 0; k < 10; k++) mean += density(Math.round(seconds * rate) + 960 * k) / 10;
    expect(mean).toBeGreaterThan(0.85);
    expect(mean).toBeLessThan(1.15);
  });

  it('has no resonance that sticks out: its spectrum is that of noise', async () => {
    const [left] = await respond({ decay: 3, damping: 0 }, 2);
    const [from, frames] = [0.3 * rate, 32768];
    // power of single frequencies: exponential in a diffuse field, so the largest of N is about ln N times the mean
    const powers = Array.from({ length: 600 }, (_, k) => {
      const angle = (2 * Math.PI * Math.round(((150 + 10 * k) * frames) / rate)) / frames;
      const [c, s] = [Math.cos(angle), Math.sin(angle)];
      let [re, im, a, b] = [0, 0, 1, 0];
      for (let n = 0; n < frames; n++) {
        const volts = left[from + n]! * Math.sin((Math.PI * n) / frames) ** 2;
        re += volts * a;
        im -= volts * b;
        [a, b] = [a * c - b * s, a * s + b * c];
      }
      return re * re + im * im;
    });
    const mean = powers.reduce((sum, power) => sum + power, 0) / 600;
    expect(Math.max(...powers) / mean).toBeLessThan(3 * Math.log(600)); // a ringing mode is hundreds of times the mean
    const flatness = Math.exp(powers.reduce((sum, power) => sum + Math.log(power), 0) / 600) / mean;
    expect(flatness).toBeGreaterThan(0.4); // e^-0.577 = 0.56 for noise
  });

  it('is wide: left and right have little in common', async () => {
    const [left, right] = await respond({ decay: 2 }, 2);
    const common = left.reduce((sum, volts, n) => sum + volts * right[n]!, 0) / (left.length * rmsOf(left) * rmsOf(right));
    expect(Math.abs(common)).toBeLessThan(0.1);
    expect(Math.abs(20 * Math.log10(rmsOf(left) / rmsOf(right)))).toBeLessThan(1);
  });

  it.each([0.5, 2, 10, 60])('answers steady noise with its own loudness, less one pass, within 1.5 dB (decay %f s)', async (decay) => {
    const next = uniform(5);
    const sound = Float32Array.from({ length: Math.round(8 * rate + decay * 6000) }, () => 4 * next() - 2);
    const { left } = await runKernel(spec, {
      frames: sound.length,
      settings: { decay, damping: 0, mix: 1 },
      inputs: { left: sound, right: sound },
    });
    const pass = 10 ** ((-3 * 0.09998 * 5 ** -0.5) / decay); // the mean line at size 0.5
    const built = 1 - 10 ** ((-6 * (sound.length - rate)) / rate / decay); // how far it has built up
    expect(Math.abs(20 * Math.log10(rmsOf(left!, sound.length - 2 * rate) / (rmsOf(sound) * pass * Math.sqrt(built))))).toBeLessThan(1.5);
  });

  it('keeps the pitch of what sounded: within 20 cents, within 5 on the average over tones', async () => {
    let sum = 0;
    const tones = [146.8, 221.7, 330.9, 440, 660.3, 880.5, 1234.5, 1777];
    for (const hz of tones) {
      const { left, right } = await runKernel(spec, {
        frames: 4 * rate,
        settings: { decay: 4, damping: 0, mix: 1 },
        inputs: {
          left: (n) => (n < 1.5 * rate ? 3 * Math.sin((2 * Math.PI * hz * n) / rate) * Math.min(1, n / 2400, (1.5 * rate - n) / 2400) : 0),
        },
      });
      // mean frequency of the tail: steps of phase around hz, weighted by power
      let [re, im] = [0, 0];
      for (const side of [left!, right!]) {
        const [c, s] = around(side.subarray(1.5 * rate), hz, 15) as [Float32Array, Float32Array];
        for (let n = 4800; n < c.length; n += 240) {
          re += c[n]! * c[n - 240]! + s[n]! * s[n - 240]!;
          im += s[n]! * c[n - 240]! - c[n]! * s[n - 240]!;
        }
      }
      const off = 1200 * Math.log2(1 + (Math.atan2(im, re) * rate) / (2 * Math.PI * 240) / hz);
      expect(Math.abs(off), `${hz}`).toBeLessThan(20);
      sum += off / tones.length;
    }
    expect(Math.abs(sum)).toBeLessThan(5);
  });

  it('takes the left input for the right where nothing is patched there', () => {
    const blocks = [
      { id: 'osc', type: 'oscillator' },
      { id: 'room', type: 'reverb' },
    ];
    const run = (...to: string[]) => {
      const patch = { seed: 1, blocks, cables: to.map((port) => ({ from: ['osc', 'saw'] as const, to: ['room', port] as const })) };
      return runPatch(patch, { frames: 9000, outputs: ['room.left', 'room.right'] }).out;
    };
    expect(run('left')).toEqual(run('left', 'right'));
    expect(peakOf(run('left')['room.right']!)).toBeGreaterThan(1);
  });
});

describe('handling', () => {
  it('mix 0 passes both inputs bit for bit, whatever else moves', async () => {
    const next = uniform(6);
    const inputs = {
      left: Float32Array.from({ length: 5000 }, () => 24 * next() - 12),
      right: Float32Array.from({ length: 5000 }, () => 24 * next() - 12),
    };
    const events = [
      { frame: 700, setting: 'size', value: 1, glide: 300 },
      { frame: 900, setting: 'decay', value: 60 },
    ];
    expect(await runKernel(spec, { frames: 5000, settings: { mix: 0 }, inputs, events })).toEqual(inputs);
  });

  it('mix goes in a straight line from the input to the room', async () => {
    const inputs = { left: (n: number) => 3 * Math.sin(n * 0.05) };
    const run = async (mix: number) => (await runKernel(spec, { frames: 20000, settings: { mix }, inputs })).left!;
    const [dry, some, wet] = [await run(0), await run(0.3), await run(1)];
    expect(worst(20000, (n) => some[n]! - (0.7 * dry[n]! + 0.3 * wet[n]!))).toBeLessThan(1e-5);
  });

  it('a size that jumps or sweeps under a long tail does not click', async () => {
    const events = [
      { frame: 2 * rate, setting: 'size', value: 1, glide: 240 },
      { frame: 3 * rate, setting: 'size', value: 0, glide: 240 },
      { frame: 4 * rate, setting: 'size', value: 0.6, glide: rate },
      { frame: 5.5 * rate, setting: 'decay', value: 3, glide: 240 },
    ];
    const tone = (n: number) =>
      n < 1.5 * rate ? 4 * Math.sin((2 * Math.PI * 200 * n) / rate) * Math.min(1, n / 4800, (1.5 * rate - n) / 4800) : 0;
    const { left } = await runKernel(spec, {
      frames: 7 * rate,
      settings: { decay: 30, damping: 0.2, mix: 1 },
      inputs: { left: tone, right: tone },
      events,
    });
    expect(rmsOf(left!, 6 * rate)).toBeGreaterThan(0.01);
    expect(findClicks(left!, {}, rate)).toEqual([]);
    const cut = left!.map((volts, n) => (n < 2.5 * rate ? volts : (left![n + 97] ?? 0)));
    expect(findClicks(cut, {}, rate).length).toBeGreaterThan(0); // a jump by 97 frames would be found
  });

  it.each([1, 2, 3])('a size that never rests feeds nothing: back at its place, less is left than without (seed %i)', async (seed) => {
    const next = uniform(seed);
    const frames = 9 * rate;
    const burst = Float32Array.from({ length: frames }, (_, n) => (n < rate ? (next() < 0.5 ? 3 : -3) : 0));
    const events = Array.from({ length: 50 }, (_, k) => ({
      frame: 2 * rate + Math.floor((5 * rate * k) / 50),
      setting: 'size',
      value: k === 49 ? 0.5 : next(),
      glide: Math.floor(next() * 5000),
    }));
    const run = async (moves: typeof events) =>
      (await runKernel(spec, { frames, settings: { decay: 60, damping: 0, mix: 1 }, inputs: { left: burst, right: burst }, events: moves }))
        .left!;
    const [moved, still] = [await run(events), await run([])];
    expect(rmsOf(moved, 8 * rate)).toBeLessThan(rmsOf(still, 8 * rate));
    expect(rmsOf(moved, 8 * rate)).toBeGreaterThan(0.1 * rmsOf(still, 8 * rate)); // travelling costs highs, not the tail
    expect(peakOf(moved)).toBeLessThan(12);
  });

  it('direct voltage does not pile up', async () => {
    const { left } = await runKernel(spec, { frames: 6 * rate, settings: { decay: 60, damping: 0, mix: 1 }, inputs: { left: 12 } });
    expect(peakOf(left!, 5 * rate)).toBeLessThan(2);
  });

  it('an empty room is silent to the last bit, and wakes as if it had never slept', async () => {
    const wake = 3 * rate;
    const burst = (n: number) => (n < 500 || (n >= wake && n < wake + 500) ? 4 * Math.sin(n * 0.2) : 0);
    const settings = { decay: 0.1, size: 0, mix: 1 };
    const { left } = await runKernel(spec, { frames: 4 * rate, settings, inputs: { left: burst } });
    expect(peakOf(left!, 0, 5000)).toBeGreaterThan(0.1);
    expect(peakOf(left!, 2 * rate, wake)).toBe(0);
    const whole = await runKernel(spec, { frames: 4 * rate, settings, inputs: { left: (n) => burst(n) || 1e-20 } }); // never quite silent, never asleep
    expect(worst(rate, (n) => left![wake + n]! - whole.left![wake + n]!)).toBeLessThan(1e-6);
  });
});
