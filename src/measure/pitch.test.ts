// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { pitchOf } from './pitch.ts';

const rate = 48000;
const cents = (hz: number, reference: number): number => 1200 * Math.log2(hz / reference);

/** Sum of the first harmonics up to half the rate: a band-limited saw. */
function saw(hz: number, frames: number): Float32Array {
  const harmonics = Math.min(60, Math.floor(rate / 2 / hz) - 1);
  return Float32Array.from({ length: frames }, (_, n) => {
    let sum = 0;
    for (let k = 1; k <= harmonics; k++) sum += Math.sin((2 * Math.PI * k * hz * n) / rate) / k;
    return sum;
  });
}

describe('pitch', () => {
  // Equal temperament at A4 = 440 Hz (ISO 16): A1, E2, A3, C5, A6, C8.
  it.each([55, 82.4069, 220, 523.2511, 1760, 4186.009])('a saw of %d Hz within 0.5 cent', (hz) => {
    const pitch = pitchOf(saw(hz, 8192), rate);
    expect(Math.abs(cents(pitch?.hz ?? 1, hz))).toBeLessThan(0.5);
    expect(pitch?.aperiodicity).toBeLessThan(0.05);
  });

  it.each([35, 440, 3000])('a sine of %d Hz within 0.5 cent', (hz) => {
    const sine = Float32Array.from({ length: 8192 }, (_, n) => Math.sin((2 * Math.PI * hz * n) / rate));
    expect(Math.abs(cents(pitchOf(sine, rate)?.hz ?? 1, hz))).toBeLessThan(0.5);
  });

  it('the fundamental counts even where it is missing', () => {
    const wave = Float32Array.from({ length: 8192 }, (_, n) =>
      [2, 3, 4].reduce((sum, k) => sum + Math.sin((2 * Math.PI * k * 150 * n) / rate), 0),
    );
    expect(Math.abs(cents(pitchOf(wave, rate)?.hz ?? 1, 150))).toBeLessThan(0.5);
  });

  it('noise, silence and direct voltage have no pitch', () => {
    let state = 1;
    const noise = Float32Array.from({ length: 8192 }, () => {
      state = (Math.imul(state, 1664525) + 1013904223) | 0;
      return state / 2 ** 31;
    });
    for (const samples of [noise, new Float32Array(8192), new Float32Array(8192).fill(3)]) expect(pitchOf(samples, rate)).toBeUndefined();
  });

  it('too few frames give no answer rather than a wrong one', () => {
    expect(pitchOf(saw(55, 600), rate)).toBeUndefined();
  });
});
