// @vitest-environment node
/** What is said of the loudness meter beside the rows of topics/loudness.ts: its filters' coefficients, other rates, its edges. */
import { describe, expect, it } from 'vitest';
import { createLoudnessMeter, integratedLoudness, kWeighting } from '../../src/measure/loudness.ts';
import { truePeakOf } from '../../src/measure/truePeak.ts';
import { publishedTable } from '../support/publishedTable.ts';
import coefficients from './data/k_weighting_coefficients.json' with { type: 'json' };
import { steadyTone, tones } from './loudnessSignals.ts';
import { recipeOf, weightAt } from './topics/loudness.ts';

const rate = 48000;

/** ITU-R BS.1770-5 Annex 1. */
describe('K-weighting', () => {
  it.each(Object.entries(coefficients.by_rate))('has the poles and the shelf of BS.1770 at %s Hz', (hz, known) => {
    const [shelf, pass] = kWeighting(Number(hz));
    const all = [...shelf.b, ...shelf.a, ...pass.a];
    const expected = [...known.stage1_b, ...known.stage1_a.slice(1), ...known.stage2_a.slice(1)];
    for (const [i, value] of expected.entries()) expect(all[i]).toBeCloseTo(value, 10);
  });

  it('reproduces Tables 1 and 2 themselves', () => {
    const [shelf, pass] = kWeighting(48000);
    const { stage1_a, stage1_b, stage2_a, stage2_b } = coefficients.published_48k;
    for (const [i, value] of stage1_b.entries()) expect(shelf.b[i]).toBeCloseTo(value, 9);
    for (const [i, value] of stage1_a.slice(1).entries()) expect(shelf.a[i]).toBeCloseTo(value, 9);
    for (const [i, value] of stage2_b.entries()) expect(pass.b[i]).toBeCloseTo(value, 12);
    for (const [i, value] of stage2_a.slice(1).entries()) expect(pass.a[i]).toBeCloseTo(value, 9);
  });

  it.each([44100, 88200, 96000, 192000])(
    'weighs alike at %i Hz, within 0.01 dB to 10 kHz (the standard asks for the same response)',
    (sampleRate) => {
      for (const { f_hz, k_db } of publishedTable('k_weighting_48k') as readonly { f_hz: number; k_db: number }[]) {
        if (f_hz <= 10000) expect(Math.abs(weightAt(f_hz, sampleRate) - k_db)).toBeLessThan(0.01);
      }
    },
  );
});

describe('the meter', () => {
  it.each([44100, 88200, 96000])('reads the same at %i Hz', (sampleRate) => {
    expect(integratedLoudness([steadyTone(997, 0, 2, sampleRate)], sampleRate)).toBeCloseTo(-3.01, 2);
  });

  it('needs a whole gating block, and reads -Infinity for silence', () => {
    expect(integratedLoudness([new Float32Array(19000)], rate)).toBeUndefined();
    expect(integratedLoudness([new Float32Array(48000)], rate)).toBe(-Infinity);
  });

  it('3341-1: momentary, short-term and integrated agree', () => {
    const meter = createLoudnessMeter(rate, 2);
    meter.push(tones(recipeOf('3341-1')));
    for (const read of [meter.momentary(), meter.shortTerm(), meter.integrated()])
      expect(Math.abs((read ?? 0) + 23)).toBeLessThanOrEqual(0.1);
  });

  it('does not depend on how the frames are cut', () => {
    const [left, right] = tones({ ...recipeOf('3341-12'), repeat: 3 }) as [Float32Array, Float32Array];
    const whole = createLoudnessMeter(rate, 2);
    whole.push([left, right]);
    const cut = createLoudnessMeter(rate, 2);
    for (let at = 0; at < left.length; at += 97) cut.push([left, right], at, Math.min(left.length, at + 97));
    expect(cut.integrated()).toBeCloseTo(whole.integrated() ?? 0, 9);
    expect(cut.highestMomentary()).toBeCloseTo(whole.highestMomentary() ?? 0, 9);
  });
});

it('true peak is more than the sample peak: a sine at rate/4 sampled at 45 degrees', () => {
  const tone = steadyTone(12000, 0, 0.1).map((_, n) => Math.sin((Math.PI / 2) * n + Math.PI / 4));
  expect(Math.max(...tone)).toBeCloseTo(Math.SQRT1_2, 6);
  expect(truePeakOf(tone.map((x, n) => x * Math.min(1, n / 480, (4799 - n) / 480)))).toBeCloseTo(1, 3);
});
