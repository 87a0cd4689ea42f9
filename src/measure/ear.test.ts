// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { Ear, loudestLevel } from './ear.ts';

const RATE = 48000;
const sine = (hz: number, size: number, seconds = 1.5): Float32Array =>
  Float32Array.from({ length: seconds * RATE }, (_, i) => size * Math.cos((2 * Math.PI * hz * i) / RATE));

describe('level to the ear', () => {
  // IEC 61672-1, table 3 (weighting A; values from memory); the standard allows class 1 more than 1 dB at 31.5 Hz and at 8 kHz.
  it.each([
    [31.5, -39.4],
    [63, -26.2],
    [125, -16.1],
    [250, -8.6],
    [500, -3.2],
    [1000, 0],
    [2000, 1.2],
    [4000, 1],
    [8000, -1.1],
  ])('a sine of %f Hz counts %f dB', (hz, db) => {
    // -40 dB, so that nothing is passed over as loud; 3.01 dB from the peak of a sine to its effective value
    expect(Math.abs(loudestLevel([sine(hz, 0.01)], RATE) - (db - 43.01))).toBeLessThan(0.7);
  });

  it('a burst of 200 ms reads 1 dB less than it would for ever (IEC 61672-1, table 4: fast)', () => {
    const burst = new Float32Array(RATE);
    burst.set(sine(4000, 0.01, 0.2), 4800);
    expect(loudestLevel([burst], RATE)).toBeCloseTo(loudestLevel([sine(4000, 0.01)], RATE) - 1, 1);
  });

  it('steady voltage is silent, from the first sample on', () => {
    expect(loudestLevel([new Float32Array(RATE).fill(0.8)], RATE)).toBe(Number.NEGATIVE_INFINITY);
    // 5 Hz dc block, as the output has
    const fading = Float32Array.from({ length: RATE }, (_, i) => 0.5 * Math.exp((-2 * Math.PI * 5 * i) / RATE));
    expect(loudestLevel([fading], RATE)).toBeLessThan(-70);
  });

  it('a sine far below hearing is silent, a click is not', () => {
    expect(loudestLevel([sine(4, 0.5)], RATE)).toBeLessThan(-80);
    const click = new Float32Array(RATE).fill(0.3, 10000, 10048);
    expect(loudestLevel([click], RATE)).toBeGreaterThan(-40);
  });

  it('comes to the same in pieces', () => {
    const whole = sine(100, 0.02);
    const ear = new Ear(RATE);
    for (let at = 0; at < whole.length; at += 128) ear.add(whole.subarray(at), Math.min(128, whole.length - at));
    expect(ear.level).toBeCloseTo(loudestLevel([whole], RATE), 6);
  });
});
