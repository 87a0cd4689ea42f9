// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { steadyTone, tones } from '../../tests/published/loudnessSignals.ts';
import { recipeOf } from '../../tests/published/topics/loudness.ts';
import { pitchAt, pitchOfStretch, pitchPlaces, stretchLevels, stretchLoudness } from './figures.ts';

const rate = 48000;
const sine = (hz: number, volts: number, seconds: number): Float32Array => steadyTone(hz, 0, seconds).map((x) => volts * x);

describe('levels of a stretch', () => {
  it('a sine of 5 V: peak 5 V, RMS 5 / root of 2, no direct voltage', () => {
    const levels = stretchLevels(sine(997, 5, 1), 0, rate);
    expect(levels.peak).toBeCloseTo(5, 3);
    expect(levels.rms).toBeCloseTo(5 / Math.SQRT2, 3);
    expect(levels.dc).toBeCloseTo(0, 3);
    expect(levels.truePeak).toBeCloseTo(5, 1);
  });

  it('only the stretch counts, and what is missing counts as silence', () => {
    const samples = sine(1000, 5, 1).fill(Number.NaN, 0, 24000).fill(9, 40000);
    expect(stretchLevels(samples, 0, 24000).peak).toBe(0);
    expect(stretchLevels(samples, 24000, 40000).peak).toBeCloseTo(5, 2);
  });
});

describe('loudness of a stretch', () => {
  it('a sine of 997 Hz at full scale in one channel reads -3.01 LUFS (ITU-R BS.1770-5 Annex 1), at 5 V of 10 V 6.02 less', () => {
    const { integrated, loudest } = stretchLoudness([sine(997, 5, 4)], rate, 10, 0, 4 * rate);
    expect(Math.abs((integrated ?? 0) + 9.03)).toBeLessThan(0.02);
    expect(Math.abs((loudest ?? 0) + 9.03)).toBeLessThan(0.02);
  });

  it('EBU Tech 3341, 1: both -23.0 LUFS within 0.1', () => {
    const channels = tones(recipeOf('3341-1'));
    const { integrated, loudest } = stretchLoudness(channels, rate, 1, 0, channels[0]?.length ?? 0);
    expect(Math.abs((integrated ?? 0) + 23)).toBeLessThanOrEqual(0.1);
    expect(Math.abs((loudest ?? 0) + 23)).toBeLessThanOrEqual(0.1);
  });

  it('EBU Tech 3341, 9: the loudest 3 s of tones that change between -20 and -30 dBFS are -23.0 LUFS within 0.1', () => {
    const channels = tones(recipeOf('3341-9'));
    const { loudest } = stretchLoudness(channels, rate, 1, 0, channels[0]?.length ?? 0);
    expect(Math.abs((loudest ?? 0) + 23)).toBeLessThanOrEqual(0.1);
  });

  it('shorter than 3 s there is no short-term loudness, shorter than 0.4 s none at all', () => {
    const tone = sine(1000, 5, 2);
    expect(stretchLoudness([tone], rate, 10, 0, 2 * rate).loudest).toBeUndefined();
    expect(stretchLoudness([tone], rate, 10, 0, 0.3 * rate)).toEqual({ loudest: undefined, integrated: undefined });
    expect(stretchLoudness([new Float32Array(rate)], rate, 10, 0, rate).integrated).toBe(-Infinity);
  });
});

describe('pitch of a stretch', () => {
  const estimates = (samples: Float32Array): ReturnType<typeof pitchOfStretch> =>
    pitchOfStretch(pitchPlaces(rate, 0, samples.length, 12).map((at) => pitchAt(samples, rate, at)));
  const cents = (hz: number, reference: number): number => Math.abs(1200 * Math.log2(hz / reference));
  const joined = (...parts: Float32Array[]): Float32Array => {
    const all = new Float32Array(parts.reduce((sum, part) => sum + part.length, 0));
    let at = 0;
    for (const part of parts) {
      all.set(part, at);
      at += part.length;
    }
    return all;
  };

  it('one note is one pitch within a cent, also between rests', () => {
    const held = estimates(joined(new Float32Array(rate), sine(440, 5, 2), new Float32Array(rate)));
    expect(held.kind).toBe('one');
    if (held.kind === 'one') expect(cents(held.hz, 440)).toBeLessThan(1);
  });

  it('a melody is several, from its lowest note to its highest (C4, E4, G4: ISO 16)', () => {
    const melody = estimates(joined(sine(261.626, 5, 1), sine(329.628, 5, 1), sine(391.995, 5, 1)));
    expect(melody.kind).toBe('several');
    if (melody.kind !== 'several') return;
    expect(cents(melody.lowest, 261.626)).toBeLessThan(1);
    expect(cents(melody.highest, 391.995)).toBeLessThan(1);
  });

  it('noise, silence and a stretch that is too short have none', () => {
    let state = 7;
    const noise = Float32Array.from({ length: rate }, () => {
      state = (Math.imul(state, 1664525) + 1013904223) | 0;
      return state / 2 ** 31;
    });
    for (const samples of [noise, new Float32Array(rate), sine(440, 5, 0.05)]) expect(estimates(samples)).toEqual({ kind: 'none' });
  });
});
