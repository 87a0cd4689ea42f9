// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { findClicks } from './clicks.ts';

const rate = 48000;
const sine = (hz: number, frames = 24000): Float32Array =>
  Float32Array.from({ length: frames }, (_, n) => 5 * Math.sin((2 * Math.PI * hz * n) / rate));
const saw = (hz: number, frames = 24000): Float32Array => Float32Array.from({ length: frames }, (_, n) => 10 * (((hz * n) / rate) % 1) - 5);
/** Adds a jump of `volts` from frame 9000 on. */
const jump = (samples: Float32Array, volts: number): Float32Array => samples.map((x, n) => (n >= 9000 ? x + volts : x));

let state = 9;
const noise = Float32Array.from({ length: 24000 }, () => {
  state = (Math.imul(state, 1664525) + 1013904223) | 0;
  return (5 * state) / 2 ** 31;
});

describe('clicks', () => {
  it.each([
    ['a low sine', sine(55)],
    ['a high sine', sine(9000)],
    ['a saw', saw(110)],
    ['a low saw', saw(27.5)],
    ['noise', noise],
    ['silence', new Float32Array(24000)],
    ['a fade', sine(440).map((x, n) => x * Math.min(1, n / 4000, (24000 - n) / 4000))],
  ])('%s has none', (_name, samples) => {
    expect(findClicks(samples)).toEqual([]);
  });

  it.each([
    ['a low sine', sine(55), 0.01],
    ['a sine', sine(440), 0.2],
    ['silence', new Float32Array(24000), 0.002],
  ])('finds a jump in %s at its frame', (_name, samples, volts) => {
    const clicks = findClicks(jump(samples, volts));
    expect(clicks).toHaveLength(1);
    expect(Math.abs((clicks[0]?.frame ?? 0) - 9000)).toBeLessThanOrEqual(1);
  });

  it('finds a jump larger than the edges of a saw, but not one that they hide', () => {
    expect(findClicks(jump(saw(110), -45))).toHaveLength(1);
    expect(findClicks(jump(saw(110), 3))).toEqual([]);
  });

  it('finds a note that breaks off, and a kink in a slow slope', () => {
    const cut = sine(220).map((x, n) => (n < 9050 ? x : 0));
    expect(findClicks(cut).map((click) => click.frame)).toEqual([expect.closeTo(9050, -0.5)]);
    const kink = Float32Array.from({ length: 24000 }, (_, n) => (n < 9000 ? 0 : (n - 9000) * 0.01));
    expect(findClicks(kink)).toHaveLength(1);
  });

  it('looks only where it is told', () => {
    expect(findClicks(jump(sine(55), 0.5), {}, 0, 8000)).toEqual([]);
    expect(findClicks(jump(sine(55), 0.5), { least: 1 })).toEqual([]);
  });
});
