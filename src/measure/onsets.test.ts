// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { onsetsOf } from './onsets.ts';

const rate = 48000;
const sound = (seconds: number, at: (t: number, n: number) => number): Float32Array =>
  Float32Array.from({ length: Math.round(seconds * rate) }, (_, n) => at(n / rate, n));
const tau = 2 * Math.PI;
const saw = (phase: number): number => 2 * (phase - Math.floor(phase)) - 1;

let state = 5;
const noise = (): number => {
  state = (Math.imul(state, 1664525) + 1013904223) | 0;
  return state / 2 ** 31;
};

/** Plucks `each` seconds apart, each decaying by 60 dB within `decay` seconds. */
const plucks = (seconds: number, each: number, decay: number, wave: (t: number) => number) =>
  sound(seconds, (t) => wave(t) * 10 ** ((-3 * (t % each)) / decay));
/** One note after the other without a gap. */
const legato = (notes: readonly number[], each: number, wave: (phase: number) => number) => {
  let phase = 0;
  return sound(notes.length * each, (t) => {
    phase += (notes[Math.min(notes.length - 1, Math.floor(t / each))] as number) / rate;
    return wave(phase);
  });
};

describe('notes that set in', () => {
  it.each([
    ['silence', new Float32Array(rate), 0],
    ['a steady sine', sound(2, (t) => Math.sin(tau * 220 * t)), 1],
    ['a steady low saw', sound(2, (t) => saw(55 * t)), 1],
    ['steady noise', sound(2, noise), 1],
    ['8 plucked sines, 4 a second', plucks(2, 0.25, 0.3, (t) => Math.sin(tau * 440 * t)), 8],
    ['16 plucked saws, 8 a second', plucks(2, 0.125, 0.3, (t) => saw(110 * t)), 16],
    ['6 bursts of noise', plucks(3, 0.5, 0.1, noise), 6],
    ['5 long notes that ring into each other', plucks(5, 1, 4, (t) => saw(220 * t)), 5],
    ['6 sines without a gap', legato([220, 330, 275, 440, 330, 220], 0.4, (p) => Math.sin(tau * p)), 6],
    ['8 saws without a gap, a scale', legato([110, 123.5, 130.8, 146.8, 164.8, 174.6, 196, 220], 0.3, saw), 8],
    ['vibrato of 30 cents, 5 a second', legato([440], 3, (p) => Math.sin(tau * (p + 1.4 * Math.sin((p / 440) * tau * 5)))), 1],
    ['a slow swell', sound(4, (t) => Math.sin(tau * 220 * t) * Math.sin((Math.PI * t) / 4)), 1],
  ] as const)('of %s are counted', (_name, samples, count) => {
    const found = onsetsOf(samples, rate);
    expect(found.length, found.map((t) => t.toFixed(3)).join(' ')).toBe(count);
  });

  it('lie within 30 ms of where they are', () => {
    const found = onsetsOf(
      plucks(2, 0.25, 0.3, (t) => Math.sin(tau * 440 * t)),
      rate,
    );
    for (const [i, t] of found.entries()) expect(Math.abs(t - 0.25 * i)).toBeLessThan(0.03);
  });

  it('are as many however loud the sound is', () => {
    const loud = plucks(2, 0.25, 0.3, (t) => Math.sin(tau * 440 * t));
    expect(
      onsetsOf(
        loud.map((x) => x / 500),
        rate,
      ).length,
    ).toBe(8);
  });
});
