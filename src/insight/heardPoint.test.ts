// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { announce, pointContent } from './heardPoint.ts';

const rate = 48000;
const tau = 2 * Math.PI;
const volts = (at: (t: number) => number, seconds = 12): Float32Array =>
  Float32Array.from({ length: seconds * rate }, (_, n) => at(n / rate));
const slowSine = volts((t) => 5 * Math.sin(tau * 0.3 * t));
const slowSquare = volts((t) => (Math.sin(tau * 0.3 * t) > 0 ? 5 : -5));
const held = volts(() => 5, 1);

describe('what there is at a point', () => {
  it('is how often it swings, whatever its shape', () => {
    expect(pointContent(slowSine, rate).rate).toBeCloseTo(0.3, 2);
    expect(pointContent(slowSquare, rate).rate).toBeCloseTo(0.3, 2);
    expect(
      pointContent(
        volts((t) => 2 + Math.sin(tau * 110 * t), 1),
        rate,
      ).rate,
    ).toBeCloseTo(110, 0);
    expect(pointContent(held, rate)).toMatchObject({ volts: 5, swing: 0, rate: undefined });
  });

  it('is above 20 Hz by a filter that takes slow movement away: 24 dB per octave', () => {
    // Two octaves below: -48 dB; a decade below: -80 dB (Butterworth of the fourth order).
    expect(
      20 *
        Math.log10(
          pointContent(
            volts((t) => Math.sin(tau * 5 * t), 4),
            rate,
          ).audible.peak,
        ),
    ).toBeLessThan(-44);
    expect(pointContent(slowSine, rate).audible.peak).toBeLessThan(0.001);
    expect(
      pointContent(
        volts((t) => Math.sin(tau * 440 * t), 1),
        rate,
      ).audible.peak,
    ).toBeCloseTo(1, 1);
    expect(pointContent(held, rate).audible).toEqual({ peak: 0, power: 0, time: 0 });
  });

  it('is all of a tone, and little of what has only edges', () => {
    const tone = pointContent(
      volts((t) => 3 + Math.sin(tau * 110 * t), 1),
      rate,
    ).audible;
    expect(tone.power).toBeGreaterThan(0.95);
    expect(tone.time).toBe(1);
    const edges = pointContent(slowSquare, rate).audible;
    expect(edges.peak).toBeGreaterThan(5);
    expect(edges.power).toBeLessThan(0.1);
    expect(edges.time).toBeLessThan(0.1);
  });

  it('is there throughout where a little sound rides on slow movement', () => {
    const { power, time } = pointContent(
      volts((t) => 5 * Math.sin(tau * 0.3 * t) + 0.5 * Math.sin(tau * 220 * t), 4),
      rate,
    ).audible;
    expect(power).toBeLessThan(0.1);
    expect(time).toBe(1);
  });
});

describe('what is announced', () => {
  const say = (kind: Parameters<typeof announce>[0], samples: Float32Array): string => announce(kind, pointContent(samples, rate)).say;

  it.each([
    ['control', slowSquare, 'This is a control voltage: it moves at about 0.3 Hz, too slow to hear. What you hear are only its edges.'],
    ['control', slowSine, 'This is a control voltage: it moves at about 0.3 Hz, too slow to hear. You hear nothing of it.'],
    [
      'control',
      volts((t) => 5 * Math.sin(tau * 0.05 * t)),
      'This is a control voltage: it moves too slowly to hear. You hear nothing of it.',
    ],
    [
      'pitch',
      held,
      'This is a pitch voltage that stands at 5 V: there is nothing to hear, and direct voltage is kept from the loudspeakers.',
    ],
    [
      'gate',
      volts((t) => (t % 0.5 < 0.1 ? 8 : 0), 4),
      'This is a gate: it moves at about 2 Hz, too slow to hear. What you hear are only its edges.',
    ],
    [
      'control',
      volts((t) => (Math.sin(tau * 4 * t) > 0 ? 5 : -5), 4),
      'This is a control voltage: it moves at about 4 Hz, too slow to hear. What you hear are only its edges.',
    ],
    [
      'control',
      volts((t) => 5 * Math.sin(tau * 0.3 * t) + 0.5 * Math.sin(tau * 220 * t), 4),
      'This is a control voltage with something to hear in it.',
    ],
    ['control', volts((t) => 5 * Math.sin(tau * 110 * t), 1), 'This is a control voltage, fast enough to hear: about 110 Hz.'],
    ['audio', volts((t) => 5 * Math.sin(tau * 110 * t), 1), ''],
    ['audio', new Float32Array(rate), 'This is a signal that rests at 0 V: there is nothing to hear.'],
  ] as const)('%s', (kind, samples, words) => {
    expect(say(kind, samples)).toBe(words);
  });

  it('is a caution while it is not measured yet', () => {
    expect(announce('control', undefined)).toEqual({ sounds: false, say: 'This is a control voltage: most of it is too slow to hear.' });
    expect(announce('audio', undefined)).toEqual({ sounds: true, say: '' });
  });

  it('is nothing for sparse sounds of an audio output', () => {
    const drum = volts((t) => (t % 1 < 0.1 ? 5 * Math.sin(tau * 60 * t) : 0), 4);
    expect(announce('audio', pointContent(drum, rate))).toEqual({ sounds: true, say: '' });
  });
});
