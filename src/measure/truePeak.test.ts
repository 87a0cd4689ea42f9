// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { toDb } from './levels.ts';
import { truePeakOf } from './truePeak.ts';

/** A sine of amplitude 1 that comes and goes smoothly, so that its true peak is its amplitude. */
const tone = (cyclesPerFrame: number, phase: number): Float32Array =>
  Float32Array.from({ length: 4000 }, (_, n) => Math.sin((Math.PI * n) / 3999) ** 0.2 * Math.sin(2 * Math.PI * cyclesPerFrame * n + phase));

describe('true peak', () => {
  it.each([0.01, 0.1, 0.25, 0.3333, 0.4, 0.45])('a sine at %d of the rate has its amplitude, whatever its phase', (frequency) => {
    for (const phase of [0, 0.4, Math.PI / 4, 1.2]) expect(Math.abs(toDb(truePeakOf(tone(frequency, phase))))).toBeLessThan(0.05);
  });

  it('looks at every interval that matters: the same as looking at all of them', () => {
    let state = 5;
    const noise = Float64Array.from({ length: 600 }, () => {
      state = (Math.imul(state, 1664525) + 1013904223) | 0;
      return state / 2 ** 31;
    });
    // Slow and obvious: a long sinc at 16 points per frame, Hann window over 32 frames on each side.
    let peak = 0;
    for (let t = -32; t < 632; t += 1 / 16) {
      let sum = 0;
      for (let n = Math.max(0, Math.ceil(t - 32)); n <= Math.min(599, t + 32); n++) {
        const d = t - n;
        const sinc = Math.abs(d) < 1e-9 ? 1 : Math.sin(Math.PI * d) / (Math.PI * d);
        sum += (noise[n] as number) * sinc * (0.5 + 0.5 * Math.cos((Math.PI * d) / 32));
      }
      peak = Math.max(peak, Math.abs(sum));
    }
    expect(toDb(truePeakOf(noise))).toBeCloseTo(toDb(peak), 1);
  });

  it('a single frame is its own peak; silence has none; a NaN is not hidden', () => {
    expect(truePeakOf([0, 0, -0.7, 0])).toBe(0.7);
    expect(truePeakOf([])).toBe(0);
    expect(truePeakOf(new Float32Array(100))).toBe(0);
    expect(truePeakOf([0, Number.NaN])).toBeNaN();
  });

  it('hears the overshoot where a sine is cut off at its top', () => {
    const cut = Float64Array.from({ length: 400 }, (_, n) => (n < 200 ? Math.sin((Math.PI * (n + 0.5)) / 400) : 0));
    expect(truePeakOf(cut)).toBeGreaterThan(1.05);
  });
});
