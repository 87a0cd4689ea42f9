// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { toDb } from './levels.ts';
import { integratedLoudness } from './loudness.ts';
import { SoundDescriber, soundFigures } from './soundFigures.ts';

const rate = 48000;
const tau = 2 * Math.PI;
const sound = (seconds: number, at: (t: number) => number): Float32Array =>
  Float32Array.from({ length: Math.round(seconds * rate) }, (_, n) => at(n / rate));
const sine = (hz: number, level = 0.5, seconds = 2) => sound(seconds, (t) => level * Math.sin(tau * hz * t));

let state = 7;
const noise = (): number => {
  state = (Math.imul(state, 1664525) + 1013904223) | 0;
  return state / 2 ** 32;
};

describe('the figures of a sound', () => {
  it('have the level of a sine: its RMS is 3.01 dB below its peak', () => {
    const { peak, rms, seconds } = soundFigures([sine(1000)], rate);
    expect(peak).toBeCloseTo(0.5, 4);
    expect(toDb(peak) - toDb(rms)).toBeCloseTo(3.01, 2);
    expect(seconds).toBe(2);
  });

  it('take the mean power over the channels, and twins for two', () => {
    const [left, silent] = [sine(1000), new Float32Array(2 * rate)];
    expect(toDb(soundFigures([left, silent], rate).rms) - toDb(soundFigures([left, left.slice()], rate).rms)).toBeCloseTo(-3.01, 2);
    // BS.1770 sums the channels: two alike are 3.01 LU louder than one.
    expect(soundFigures([left, left.slice()], rate).loudness).toBeCloseTo(integratedLoudness([left, left], rate) as number, 6);
  });

  // The centroid of a line spectrum is the mean of its frequencies, weighted by their amplitudes (Peeters 2004).
  it.each([
    ['a sine', sine(1000), 1000],
    ['two equal sines', sound(2, (t) => 0.3 * Math.sin(tau * 500 * t) + 0.3 * Math.sin(tau * 3000 * t)), 1750],
    [
      'two sines, one three times as strong',
      sound(2, (t) => 0.6 * Math.sin(tau * 1000 * t) + 0.2 * Math.sin(tau * 5000 * t)),
      (3 * 1000 + 5000) / 4,
    ],
    // 20 harmonics of 200 Hz with amplitudes 1/k: 20 x 200 / (1 + 1/2 + ... + 1/20).
    [
      '20 harmonics of a saw',
      sound(2, (t) => {
        let sum = 0;
        for (let k = 1; k <= 20; k++) sum += (0.2 / k) * Math.sin(tau * 200 * k * t);
        return sum;
      }),
      (20 * 200) / Array.from({ length: 20 }, (_, k) => 1 / (k + 1)).reduce((a, b) => a + b),
    ],
    // White noise is as strong at all frequencies: half of half the sample rate.
    ['white noise', sound(4, noise), rate / 4],
  ])('have the brightness of %s', (_name, samples, hz) => {
    // A line between two bins has a little more amplitude in sum than one on a bin.
    expect(Math.abs((soundFigures([samples], rate).brightness as number) / hz - 1)).toBeLessThan(0.025);
  });

  it('weigh moments by their amplitude: a loud dark one outweighs a soft bright one', () => {
    const samples = sound(2, (t) => (t < 1 ? 0.5 * Math.sin(tau * 400 * t) : 0.05 * Math.sin(tau * 4400 * t)));
    expect((soundFigures([samples], rate).brightness as number) / ((10 * 400 + 4400) / 11)).toBeCloseTo(1, 1);
  });

  it.each([55, 110, 440, 1760])('have the pitch of a saw of %i Hz within 2 cents', (hz) => {
    const samples = sound(2, (t) => 0.5 * (2 * (hz * t - Math.floor(hz * t)) - 1));
    expect(Math.abs(1200 * Math.log2((soundFigures([samples], rate).pitch as number) / hz))).toBeLessThan(2);
  });

  it('have the median pitch of several notes, and none of noise', () => {
    const notes = [220, 220, 220, 330, 440];
    const samples = sound(5, (t) => 0.5 * Math.sin(tau * (notes[Math.floor(t)] as number) * t));
    expect(soundFigures([samples], rate).pitch).toBeCloseTo(220, 0);
    expect(soundFigures([sound(2, noise)], rate).pitch).toBeUndefined();
  });

  it('of silence are nothing, and of a moment are there', () => {
    expect(soundFigures([new Float32Array(rate)], rate)).toEqual({
      seconds: 1,
      peak: 0,
      rms: 0,
      loudness: Number.NEGATIVE_INFINITY,
      brightness: undefined,
      pitch: undefined,
      notes: 0,
    });
    expect(soundFigures([sine(1000, 0.5, 0.05)], rate)).toMatchObject({ loudness: undefined, pitch: undefined });
    expect(soundFigures([], rate).seconds).toBe(0);
  });

  it('come in pieces, so that a page can do something else in between', () => {
    const describer = new SoundDescriber([sine(100, 0.5, 4), sine(120, 0.5, 4)], rate);
    let pieces = 1;
    while (!describer.advance()) pieces++;
    expect(pieces).toBeGreaterThan(50);
  });
});
