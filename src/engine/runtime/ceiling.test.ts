// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { annex2Peak, createNoise, nastySignals, signalOf, throughCeiling as through } from '../../../tests/support/ceilingBench.ts';
import { toDb } from '../../measure/levels.ts';
import { truePeakOf } from '../../measure/truePeak.ts';

const nasty = nastySignals();
const mono = (rate: number, signal: Float32Array, cuts?: readonly number[]) => through(rate, signal, signal, cuts);

/** Frame from which on two signals are not the same, or -1. */
function firstDifference(a: Float32Array, b: Float32Array): number {
  return a.length === b.length ? a.findIndex((x, n) => !Object.is(x, b[n])) : Math.min(a.length, b.length);
}

describe('ceiling', () => {
  it.each(nasty)('keeps %s at or below -1 dBTP', (_name, signal) => {
    const { left } = mono(48000, signal);
    expect(truePeakOf(signal)).toBeGreaterThan(0.9);
    expect(toDb(truePeakOf(left))).toBeLessThan(-0.95);
    expect(toDb(annex2Peak(left))).toBeLessThan(-0.95);
    // Not needlessly quiet: where the peak was estimated right it lies within 0.3 dB.
    expect(toDb(truePeakOf(left))).toBeGreaterThan(-1.3);
  });

  it.each([8000, 22050, 44100, 96000, 192000])('keeps to it at %i Hz', (rate) => {
    for (const [, signal] of nasty.slice(2, 6)) expect(toDb(truePeakOf(mono(rate, signal).left))).toBeLessThan(-0.95);
  });

  it('hears peaks that no sample shows: without interpolation this sine would pass', () => {
    const signal = signalOf(4800, (n) => 1.2 * Math.sin((Math.PI / 2) * n + Math.PI / 4) * Math.min(1, n / 100, (4800 - n) / 100));
    expect(Math.max(...signal)).toBeLessThan(0.8912);
    expect(Math.max(...mono(48000, signal).left)).toBeLessThan(Math.max(...signal) - 0.1);
  });

  it.each([44100, 48000, 96000, 192000])('delays by 1.5 to 3 ms at %i Hz', (rate) => {
    const { delay } = mono(rate, new Float32Array(128));
    expect(delay / rate).toBeGreaterThan(0.0015);
    expect(delay / rate).toBeLessThan(0.003);
  });

  it('passes everything below the ceiling unchanged, bit for bit', () => {
    const noise = createNoise(3);
    // White noise of 0.3 peaks below 0.85 between its samples; the sine's peak is 0.89.
    const signals = [signalOf(9000, () => 0.3 * noise()), signalOf(9000, (n) => 0.89 * Math.sin((2 * Math.PI * 440 * n) / 48000))];
    for (const signal of signals) {
      expect(truePeakOf(signal)).toBeLessThan(0.8912);
      const { left, delay } = mono(48000, signal);
      expect(firstDifference(left.subarray(delay), signal.subarray(0, -delay))).toBe(-1);
      expect(left.subarray(0, delay).every((x) => x === 0)).toBe(true);
    }
  });

  it('returns to the very bits of the input once a peak is over', () => {
    const signal = signalOf(48000, (n) => (n > 2000 && n < 2500 ? 4 : 0.4) * Math.sin((2 * Math.PI * 330 * n) / 48000));
    const { left, delay } = mono(48000, signal);
    const different = signal.findLastIndex((x, n) => n + delay < left.length && left[n + delay] !== x);
    // 4 is 13 dB over the ceiling: 10 ms hold and 80 ms for each 8.7 dB.
    expect(different / 48000).toBeGreaterThan((500 + 2500) / 48000 + 0.1);
    expect(different / 48000).toBeLessThan((500 + 2500) / 48000 + 0.16);
  });

  it('has the gain in place before the peak, and moves it smoothly', () => {
    const signal = new Float32Array(9600).fill(0.25);
    signal.fill(2.5, 4000, 4001);
    const { left, delay } = mono(48000, signal);
    const gains = Array.from({ length: 9600 - delay }, (_, n) => (left[n + delay] as number) / (signal[n] as number));
    expect(gains[3900]).toBe(1);
    expect(gains[3996]).toBeCloseTo(gains[4000] as number, 5);
    expect(toDb(left[4000 + delay] as number)).toBeCloseTo(-1.2, 1);
    const steps = gains.slice(1).map((gain, n) => Math.abs(gain - (gains[n] as number)));
    expect(Math.max(...steps)).toBeLessThan(0.025);
  });

  it.each([50, 110, 1000])('holds its gain still under a steady sine of %i Hz: no distortion', (hz) => {
    const signal = signalOf(48000, (n) => 2 * Math.sin((2 * Math.PI * hz * n) / 48000));
    const { left, delay } = mono(48000, signal);
    const gains = Array.from({ length: 24000 }, (_, n) => n + 12000)
      .filter((n) => Math.abs(signal[n] as number) > 0.1)
      .map((n) => (left[n + delay] as number) / (signal[n] as number));
    expect(Math.max(...gains) - Math.min(...gains)).toBeLessThan(2e-4);
  });

  it('moves both channels by the same gain', () => {
    const signal = nasty[6]![1];
    const quiet = signal.map((x) => 0.1 * x);
    const { left, right } = through(48000, signal, quiet);
    expect(Math.max(...left.map((x, n) => Math.abs((right[n] as number) - 0.1 * x)))).toBeLessThan(1e-6);
    expect(firstDifference(through(48000, quiet, signal).right, left)).toBe(-1);
  });

  it('gives the same bits however the frames are cut, mono and stereo', () => {
    const left = signalOf(6000, (n) => (n % 2400 < 900 ? 2 : 0.3) * Math.sin((2 * Math.PI * 523.3 * n) / 48000));
    const right = left.map((x, n) => (n > 2500 && n < 4000 ? -x : x));
    const whole = through(48000, left, right, [left.length]);
    for (const cuts of [[1], [3], [128], [127, 1], [64, 5, 100]]) {
      const cut = through(48000, left, right, cuts);
      expect(firstDifference(cut.left, whole.left)).toBe(-1);
      expect(firstDifference(cut.right, whole.right)).toBe(-1);
    }
  });

  it('puts silence in place of what is not finite, and goes on', () => {
    const signal = signalOf(4800, (n) => (n === 1000 ? Number.NaN : n === 1100 ? Infinity : n === 1200 ? -Infinity : 0.25));
    const { left, delay } = mono(48000, signal);
    expect(left.every(Number.isFinite)).toBe(true);
    for (const n of [1000, 1100, 1200]) expect(left[500 + n + delay]).toBe(0);
    expect(left[500 + 1050 + delay]).toBe(0.25);
    const large = mono(
      48000,
      signalOf(4800, () => 3e38),
    ).left;
    expect(large.every((x) => Math.abs(x) < 0.8912)).toBe(true);
  });
});

describe('ceiling switched off', () => {
  const loud = signalOf(24000, (n) => 3 * Math.sin((2 * Math.PI * 220 * n) / 48000));
  const length = loud.length;

  it('only delays, by the same time, bit for bit', () => {
    const { left, delay } = through(48000, loud, loud, [128], [[length, false]]);
    expect(firstDifference(left.subarray(delay), loud.subarray(0, -delay))).toBe(-1);
    expect(delay).toBe(mono(48000, loud).delay);
  });

  it.each([
    ['off', true],
    ['on', false],
  ])('moves the gain over 5 ms when it is switched %s', (_name, first) => {
    const { left, delay } = through(
      48000,
      loud,
      loud,
      [128],
      [
        [12800, first],
        [length - 12800, !first],
      ],
    );
    const always = mono(48000, loud).left;
    const never = Float32Array.from({ length }, (_, n) => loud[n - delay] ?? 0);
    expect(firstDifference(left.subarray(0, 12800), (first ? always : never).subarray(0, 12800))).toBe(-1);
    // Off, it keeps no watch: on again it holds the ceiling from then on, though not with the very gain of one that was never off.
    if (first) expect(firstDifference(left.subarray(12800 + 240), never.subarray(12800 + 240))).toBe(-1);
    else expect(toDb(annex2Peak(left.subarray(12800 + 240)))).toBeLessThan(-0.95);
    const gains = Array.from({ length: 600 }, (_, n) => n + 12500)
      .filter((n) => Math.abs(never[n] as number) > 0.5)
      .map((n) => [n, (left[n] as number) / (never[n] as number)] as const);
    for (const [i, [n, gain]] of gains.slice(1).entries()) {
      const [before, last] = gains[i] as readonly [number, number];
      expect(Math.abs(gain - last)).toBeLessThan(0.006 * (n - before));
    }
  });
});
