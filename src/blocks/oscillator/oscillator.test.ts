// @vitest-environment node
/** Tuning, harmonics and side bands: tests/published/topics. */
import { describe, expect, it } from 'vitest';
import { cents, frequencyOf } from '../../../tests/support/response.ts';
import { runKernel, type Signal } from '../../../tests/support/runKernel.ts';
import { worst } from '../../../tests/support/worst.ts';
import { spec } from './spec.ts';

const rate = 48000;
const waves = ['sine', 'triangle', 'saw', 'pulse'] as const;
/** Frames by which saw, triangle and pulse are late (EDGE_DELAY of the edge table), and how far an edge reaches. */
const delay = 3;
const reach = 20;
const turns = (phase: number): number => phase - Math.floor(phase);

/** Plain waves at a phase in cycles: the catalogue's formulas. */
const plain = {
  sine: (p: number) => 5 * Math.sin(2 * Math.PI * p),
  triangle: (p: number) => 5 * (1 - 4 * Math.abs(turns(p + 0.25) - 0.5)),
  saw: (p: number) => 5 * (2 * turns(p) - 1),
  pulse: (p: number) => (turns(p) < 0.5 ? 5 : -5),
};

describe('pitch', () => {
  it('adds up all that bends it: two pitch inputs, octave, semitone, fine, exponential modulation', async () => {
    const settings = { tune: 110, octave: 2, semitone: -5, fine: 40, fmExpAmount: 0.5 };
    const inputs = { pitch: 0.25, pitch2: -1, fmExp: 2 };
    const { sine } = await runKernel(spec, { frames: 48000, settings, inputs, outputs: ['sine'] });
    expect(cents(frequencyOf(sine!, rate), 110)).toBeCloseTo(2400 - 500 + 40 + 300 - 1200 + 1200, 2);
  });

  it.each([
    [48000, 1, 20000],
    [44100, 1, 0.45 * 44100],
    [48000, 4, 20000],
  ] as const)('stops at 20 kHz or 0.45 of the rate in both directions (%i Hz, quality %i)', async (sampleRate, quality, limit) => {
    for (const fmLin of [12, -12]) {
      const run = { sampleRate, quality, frames: 8000, settings: { tune: 12500, fmLinAmount: 1 }, inputs: { fmLin }, outputs: ['sine'] };
      const { sine } = await runKernel(spec, run);
      const angle = (2 * Math.PI * limit * Math.sign(fmLin)) / (sampleRate * quality);
      expect(worst(8000, (n) => sine![n]! - 5 * Math.sin(angle * n))).toBeLessThan(1e-4);
    }
  });
});

describe('waves', () => {
  it('start at phase 0: sine and triangle at 0 V going up, saw at -5 V, pulse at 5 V', async () => {
    const out = await runKernel(spec, { frames: 40 });
    expect(waves.map((wave) => Math.round(out[wave]![0]! * 1e5) / 1e5 + 0)).toEqual([0, 0, -5, 5]);
    for (const wave of ['sine', 'triangle', 'saw'] as const) expect(out[wave]![39]! - out[wave]![0]!, wave).toBeGreaterThan(1);
  });

  it('the sine is 5 sin 2 pi p on every frame, not late', async () => {
    const { sine } = await runKernel(spec, { frames: 20000, settings: { tune: 997 }, outputs: ['sine'] });
    expect(worst(20000, (n) => sine![n]! - plain.sine((997 * n) / rate))).toBeLessThan(2e-6);
  });

  it.each(['triangle', 'saw', 'pulse'] as const)(
    'the %s is the plain wave of 3 frames ago, save within 20 frames after an edge',
    async (wave) => {
      const hz = 301;
      const out = await runKernel(spec, { frames: 20000, settings: { tune: hz }, outputs: [wave] });
      let compared = 0;
      const error = worst(20000, (n) => {
        const p = (hz * (n - delay)) / rate;
        const since = (turns(p * 4) * rate) / (4 * hz); // edges and corners fall on quarters of the cycle
        if (n < 40 || since < reach - delay || since > rate / (4 * hz) - delay - 1) return 0;
        compared++;
        return out[wave]![n]! - plain[wave](p);
      });
      expect(compared).toBeGreaterThan(5000);
      expect(error).toBeLessThan(1e-4);
    },
  );

  it.each([0.01, 0.3, 0.99])(
    'the pulse with width %f has a direct voltage of 5 (2 w - 1), saw and triangle have none, also high up',
    async (width) => {
      const size = 65536;
      const run = { frames: size + 1000, settings: { tune: (5461 * rate) / size, width } };
      const out = await runKernel(spec, run);
      expect(5 * (2 * width - 1)).toBeCloseTo(mean(out.pulse!, 1000), 4);
      for (const wave of ['saw', 'triangle', 'sine']) expect(Math.abs(mean(out[wave]!, 1000)), wave).toBeLessThan(1e-6);
    },
  );

  it('the width follows its input by its amount, 10 V for the whole, and stops at 0.01 and 0.99', async () => {
    const at = async (volts: number, widthAmount: number): Promise<number> => {
      const run = { frames: 48000, settings: { tune: 100, width: 0.4, widthAmount }, inputs: { width: volts }, outputs: ['pulse'] };
      return (mean((await runKernel(spec, run)).pulse!, 0, 48000 - (48000 % 480)) + 5) / 10;
    };
    expect(await at(2, 0.5)).toBeCloseTo(0.5, 3);
    expect(await at(2, -0.5)).toBeCloseTo(0.3, 3);
    expect(await at(10, 1)).toBeCloseTo(0.99, 3);
    expect(await at(-10, 1)).toBeCloseTo(0.01, 3);
  });
});

describe('linear modulation', () => {
  it('goes through zero: at a factor of -1 the waves run backwards', async () => {
    const inputs = { fmLin: -10 };
    const out = await runKernel(spec, { frames: 9600, settings: { tune: 300, fmLinAmount: 0.25 }, inputs });
    expect(worst(9600, (n) => out.sine![n]! - plain.sine((-300 * n) / rate))).toBeLessThan(2e-6);
    const error = worst(9600, (n) => {
      const p = turns((-300 * (n - delay)) / rate);
      return n < 40 || p < 0.02 || p > 0.85 ? 0 : out.saw![n]! - plain.saw(p); // falls from 5 to -5 V
    });
    expect(error).toBeLessThan(1e-4);
  });
});

describe('sync', () => {
  const hz = 500;
  /** Crosses 0 V at frame 999.3. */
  const crossing: Signal = (n) => (n < 1000 ? -0.3 : 0.7);
  const run = (sync: 'hard' | 'soft', signal: Signal) =>
    runKernel(spec, { frames: 2000, settings: { tune: hz, sync }, inputs: { sync: signal } });
  /** Largest error of sine, triangle and saw against phases 3 frames ago, once the edge is over and away from edges of the saw. */
  const errors = (out: Record<string, Float32Array>, phase: (frame: number) => number): number =>
    Math.max(
      worst(2000, (n) => (n < 1023 ? 0 : out.sine![n]! - plain.sine(phase(n - delay)))),
      worst(2000, (n) => {
        const p = turns(phase(n - delay));
        return n < 1023 || p < 0.25 || p > 0.7 ? 0 : out.saw![n]! - plain.saw(p);
      }),
    );

  it('hard starts the wave afresh where the straight line between two frames crosses 0 V', async () => {
    const out = await run('hard', crossing);
    expect(errors(out, (t) => (hz * (t - 999.3)) / rate)).toBeLessThan(1e-4);
    expect(errors(out, (t) => (hz * (t - 999.4)) / rate)).toBeGreaterThan(1e-3);
  });

  it('soft turns the wave round there', async () => {
    const out = await run('soft', crossing);
    const turn = (hz * 999.3) / rate;
    const phase = (t: number): number => turn - (hz * (t - 999.3)) / rate;
    expect(worst(2000, (n) => (n < 1023 ? 0 : out.sine![n]! - plain.sine(phase(n - delay))))).toBeLessThan(1e-4);
  });

  it('a gate that leaves 0 V counts from the last frame at 0 V', async () => {
    const out = await run('hard', (n) => (n < 1000 ? 0 : 8));
    expect(errors(out, (t) => (hz * (t - 999)) / rate)).toBeLessThan(1e-4);
  });

  it('a falling or unpatched input does nothing', async () => {
    const falling = await run('hard', (n) => (n < 1000 ? 1 : -1));
    const unpatched = await runKernel(spec, { frames: 2000, settings: { tune: hz } });
    expect(worst(2000, (n) => falling.saw![n]! - unpatched.saw![n]!)).toBe(0);
  });
});

describe('frames', () => {
  it.each([44100, 48000])('do not depend on cuts at %i Hz while everything jumps', async (sampleRate) => {
    const jump = (period: number, volts: number) => (n: number) => (Math.floor(n / period) % 2 ? volts : -volts) * Math.cos(n / 9);
    const inputs = { pitch: jump(371, 4), fmExp: jump(17, 5), fmLin: jump(5, 12), width: jump(3, 9), sync: jump(23, 5) };
    const settings = { tune: 4000, fmLinAmount: 1, sync: 'soft' };
    const whole = await runKernel(spec, { sampleRate, frames: 3000, settings, inputs });
    for (const cuts of [[1], [1, 127], [7, 13, 2]]) {
      const cut = await runKernel(spec, { sampleRate, frames: 3000, settings, inputs, cuts });
      for (const wave of waves)
        expect(
          worst(3000, (n) => cut[wave]![n]! - whole[wave]![n]!),
          `${wave}, cuts ${cuts}`,
        ).toBe(0);
    }
  });

  it('are the same for an input that is held and for one that merely does not move', async () => {
    const settings = { tune: 1234, fmLinAmount: 0.3, width: 0.3 };
    const held = await runKernel(spec, { frames: 3000, settings, inputs: { pitch: 0.5, fmLin: 1, width: 1, fmExp: -1 } });
    const inputs = { pitch: () => 0.5, fmLin: () => 1, width: () => 1, fmExp: () => -1 };
    const moving = await runKernel(spec, { frames: 3000, settings, inputs });
    for (const wave of waves)
      expect(
        worst(3000, (n) => held[wave]![n]! - moving[wave]![n]!),
        wave,
      ).toBe(0);
  });
});

function mean(signal: Float32Array, from: number, to = signal.length): number {
  let sum = 0;
  for (let n = from; n < to; n++) sum += signal[n]!;
  return sum / (to - from);
}
