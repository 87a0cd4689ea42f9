// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { decimated, decimatorGains, impulseResponse } from '../../../tests/support/decimatorBench.ts';
import { lineAt } from '../../measure/spectrum.ts';

/** Figures: flat within 0.05 dB to 20 kHz, at least 100 dB down from (rate - 20 kHz) upward: the project's own mark. */
const rates = [44100, 48000, 88200, 96000, 192000];
const qualities = [2, 4, 8];
const all = rates.flatMap((rate) => qualities.map((quality) => [rate, quality] as const));

describe.each(all)('decimating to %i Hz from %i times the rate', (rate, quality) => {
  const { response, centre, delay } = impulseResponse(rate, quality);
  const gains = decimatorGains(response, rate * quality);
  const decibels = (from: number, to: number): number[] => gains.filter(({ x }) => x >= from && x <= to).map(({ y }) => y);

  it('is flat within 0.05 dB to 20 kHz', () => {
    expect(Math.max(...decibels(0, 20000).map(Math.abs))).toBeLessThan(0.05);
  });

  it('is at least 105 dB down from rate - 20 kHz upward', () => {
    expect(Math.max(...decibels(rate - 20000, (rate * quality) / 2))).toBeLessThan(-105);
  });

  it('is symmetrical about its stated delay, a whole number of output frames', () => {
    expect(Number.isInteger(delay)).toBe(true);
    for (let k = 1; k < centre; k++) expect(response[centre + k]).toBe(response[centre - k]);
    expect(response[centre]).toBe(Math.max(...response));
  });
});

describe('decimator', () => {
  const noise = (frames: number): Float32Array => {
    let state = 12345;
    return Float32Array.from({ length: frames }, () => {
      state = (Math.imul(state, 1664525) + 1013904223) | 0;
      return state / 2 ** 28;
    });
  };

  it.each(qualities)('gives the same bits however the frames are cut, at quality %i', (quality) => {
    const input = noise(960 * quality);
    const whole = decimated(48000, quality, input, [input.length]).out;
    expect(whole).toHaveLength(960);
    for (const cuts of [[128], [1], [3], [127, 1], [7, 64, 5, 128], [quality], [100]]) {
      expect(decimated(48000, quality, input, cuts).out).toEqual(whole);
    }
  });

  it.each(all)('shifts nothing once its delay is taken away: a 1 kHz tone keeps its phase (%i Hz, quality %i)', (rate, quality) => {
    const frames = rate / 10;
    const tone = Float32Array.from({ length: frames * quality }, (_, n) => 5 * Math.cos((2 * Math.PI * 1000 * n) / (rate * quality) + 0.7));
    const { out, delay } = decimated(rate, quality, tone);
    // 50 whole periods from a frame behind the settling.
    const from = Math.round(rate / 50);
    const line = lineAt(out, 1000, rate, 'none', from + delay, from + delay + rate / 20);
    expect(line.amplitude).toBeCloseTo(5, 4);
    const phase = line.phase - (2 * Math.PI * 1000 * from) / rate - 0.7;
    expect(Math.abs(Math.sin(phase / 2))).toBeLessThan(1e-5);
  });

  it('keeps a direct voltage', () => {
    const { out } = decimated(48000, 8, new Float32Array(8 * 200).fill(5));
    for (const x of out.subarray(60)) expect(x).toBeCloseTo(5, 5);
  });

  it('passes frames on unchanged and without delay at quality 1', () => {
    const input = noise(300);
    expect(decimated(48000, 1, input)).toEqual({ out: input, delay: 0 });
  });

  it('fits devices with low rates: flat to 0.45 of the rate, the rest down', () => {
    const { response } = impulseResponse(16000, 4);
    const gains = decimatorGains(response, 64000);
    const db = (hz: number): number => gains[Math.round((hz * gains.length) / 32000)]?.y ?? Number.NaN;
    expect(Math.abs(db(7200))).toBeLessThan(0.05);
    for (const hz of [8800, 12000, 15000, 16000, 24000, 31000]) expect(db(hz)).toBeLessThan(-105);
  });
});
