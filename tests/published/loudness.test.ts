// @vitest-environment node
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { toDb } from '../../src/measure/levels.ts';
import { createLoudnessMeter, integratedLoudness, kWeighting, type LoudnessMeter } from '../../src/measure/loudness.ts';
import { truePeakOf } from '../../src/measure/truePeak.ts';
import coefficients from './data/k_weighting_coefficients.json' with { type: 'json' };
import signals from './data/loudness_signals.json' with { type: 'json' };
import { burst, segments, steadyTone, tones } from './loudnessSignals.ts';

/** Cases, values and tolerances: ITU-R BS.1770-5 Annexes 1 and 2; EBU Tech 3341 v4, Table 1; EBU Tech 3342, Table 1. */
const rate = 48000;
const caseOf = (id: string) => {
  const found = signals.cases.find((entry) => entry.id === id);
  if (!found?.recipe) throw new Error(`no recipe for ${id}`);
  return found.recipe;
};

function metered(channels: readonly Float32Array[], sampleRate = rate): LoudnessMeter {
  const meter = createLoudnessMeter(sampleRate, channels.length);
  meter.push(channels);
  return meter;
}

/** Everything the meter showed from `seconds` on, looked at every 10 ms. */
function readings(channels: readonly Float32Array[], seconds: number, read: (meter: LoudnessMeter) => number | undefined): number[] {
  const meter = createLoudnessMeter(rate, channels.length);
  const values: number[] = [];
  for (let at = 0; at < (channels[0]?.length ?? 0); at += rate / 100) {
    meter.push(channels, at, at + rate / 100);
    const value = read(meter);
    if (at + rate / 100 >= seconds * rate && value !== undefined) values.push(value);
  }
  return values;
}

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

  const csv = readFileSync(new URL('./data/k_weighting_48k.csv', import.meta.url), 'utf8');
  const rows = csv
    .split('\n')
    .filter((line) => /^\d/.test(line))
    .map((line) => line.split(',').map(Number) as [number, number, number, number, number]);

  const weightAt = (hz: number, sampleRate: number): number =>
    kWeighting(sampleRate).reduce((sum, { b, a }) => {
      const w = (2 * Math.PI * hz) / sampleRate;
      const size = (c: readonly number[]): number =>
        Math.hypot(
          c.reduce((part, value, k) => part + value * Math.cos(k * w), 0),
          c.reduce((part, value, k) => part + value * Math.sin(k * w), 0),
        );
      return sum + toDb(size(b) / size([1, ...a]));
    }, 0);

  it.each(rows.map((row) => [row[0], row[3]] as const))('weighs %d Hz by %d dB', (hz, db) => {
    expect(weightAt(hz, 48000)).toBeCloseTo(db, 3);
  });

  it.each([44100, 88200, 96000, 192000])(
    'weighs alike at %i Hz, within 0.01 dB to 10 kHz (the standard asks for the same response)',
    (sampleRate) => {
      for (const [hz, , , db] of rows) if (hz <= 10000) expect(Math.abs(weightAt(hz, sampleRate) - db)).toBeLessThan(0.01);
    },
  );
});

describe('integrated loudness', () => {
  it('reads -3.01 LKFS for a 997 Hz sine at full scale in one channel (BS.1770 Annex 1)', () => {
    expect(integratedLoudness([steadyTone(997, 0, 5)], rate)).toBeCloseTo(-3.01, 2);
  });

  it.each([44100, 88200, 96000])('reads the same at %i Hz', (sampleRate) => {
    expect(integratedLoudness([steadyTone(997, 0, 2, sampleRate)], sampleRate)).toBeCloseTo(-3.01, 2);
  });

  it.each([
    ['ebu-cal-18', -18],
    ['3341-1', -23],
    ['3341-2', -33],
    ['3341-3', -23],
    ['3341-4', -23],
    ['3341-5', -23],
    ['3341-6', -23],
  ])('%s: %d LUFS within 0.1', (id, lufs) => {
    const read = integratedLoudness(tones(caseOf(id)), rate) ?? Number.NaN;
    expect(Math.abs(read - lufs)).toBeLessThanOrEqual(0.1);
  });

  it('needs a whole gating block, and reads -Infinity for silence', () => {
    expect(integratedLoudness([new Float32Array(19000)], rate)).toBeUndefined();
    expect(integratedLoudness([new Float32Array(48000)], rate)).toBe(-Infinity);
  });
});

describe('momentary and short-term loudness', () => {
  it('3341-1: momentary, short-term and integrated agree', () => {
    const meter = metered(tones(caseOf('3341-1')));
    for (const read of [meter.momentary(), meter.shortTerm(), meter.integrated()])
      expect(Math.abs((read ?? 0) + 23)).toBeLessThanOrEqual(0.1);
  });

  it('3341-9: short-term stands still at -23.0 after 3 s', () => {
    for (const value of readings(tones(caseOf('3341-9')), 3, (meter) => meter.shortTerm()))
      expect(Math.abs(value + 23)).toBeLessThanOrEqual(0.1);
  });

  it('3341-12: momentary stands still at -23.0 after 1 s', () => {
    for (const value of readings(tones(caseOf('3341-12')), 1, (meter) => meter.momentary()))
      expect(Math.abs(value + 23)).toBeLessThanOrEqual(0.1);
  });

  it('3341-10: the highest short-term is -23.0 wherever the tone begins', () => {
    for (const channels of segments(caseOf('3341-10'))) {
      expect(Math.abs((metered(channels).highestShortTerm() ?? 0) + 23)).toBeLessThanOrEqual(0.1);
    }
  });

  it('3341-11: the highest short-term of successive tones', () => {
    for (const [i, channels] of segments(caseOf('3341-11')).entries()) {
      expect(Math.abs((metered(channels).highestShortTerm() ?? 0) - (-38 + i))).toBeLessThanOrEqual(0.1);
    }
  });

  it('3341-13: the highest momentary is -23.0 wherever the tone begins', () => {
    for (const channels of segments(caseOf('3341-13'))) {
      expect(Math.abs((metered(channels).highestMomentary() ?? 0) + 23)).toBeLessThanOrEqual(0.1);
    }
  });

  it('3341-14: the highest momentary of successive tones', () => {
    for (const [i, channels] of segments(caseOf('3341-14')).entries()) {
      expect(Math.abs((metered(channels).highestMomentary() ?? 0) - (-38 + i))).toBeLessThanOrEqual(0.1);
    }
  });

  it('does not depend on how the frames are cut', () => {
    const [left, right] = tones({ ...caseOf('3341-12'), repeat: 3 }) as [Float32Array, Float32Array];
    const whole = metered([left, right]);
    const cut = createLoudnessMeter(rate, 2);
    for (let at = 0; at < left.length; at += 97) cut.push([left, right], at, Math.min(left.length, at + 97));
    expect(cut.integrated()).toBeCloseTo(whole.integrated() ?? 0, 9);
    expect(cut.highestMomentary()).toBeCloseTo(whole.highestMomentary() ?? 0, 9);
  });
});

describe('loudness range', () => {
  it.each([
    ['3342-1', 10],
    ['3342-2', 5],
    ['3342-3', 20],
    ['3342-4', 15],
  ])('%s: %d LU within 1', (id, range) => {
    expect(Math.abs((metered(tones(caseOf(id))).range() ?? 0) - range)).toBeLessThanOrEqual(1);
  });
});

describe('true peak (+0.2 / -0.4 dB as in Tech 3341)', () => {
  it.each([
    ['3341-15', 4, 0.5, 0, -6],
    ['3341-16', 4, 0.5, 45, -6],
    ['3341-17', 6, 0.5, 60, -6],
    ['3341-18', 8, 0.5, 67.5, -6],
    ['3341-19', 4, 1.41, 45, 3],
  ])('%s: rate/%d, amplitude %d, %d degrees: %d dBTP', (_id, divisor, amplitude, degrees, dbtp) => {
    const fade = rate / 100;
    const tone = Float32Array.from({ length: rate / 2 }, (_, n) => {
      const ramp = Math.min(1, (n + 0.5) / fade, (rate / 2 - n - 0.5) / fade);
      return ramp * amplitude * Math.sin((2 * Math.PI * n) / divisor + (degrees * Math.PI) / 180);
    });
    const read = toDb(truePeakOf(tone));
    expect(read).toBeLessThanOrEqual(dbtp + 0.2);
    expect(read).toBeGreaterThanOrEqual(dbtp - 0.4);
    // Finer than the standard asks: within 0.05 dB of the amplitude that the sine has.
    expect(Math.abs(read - toDb(amplitude))).toBeLessThan(0.05);
  });

  it.each([0, 1, 2, 3])('3341-20 to 23: a burst sampled with offset %d: 0 dBTP', (offset) => {
    const read = toDb(truePeakOf(burst(offset)));
    expect(read).toBeLessThanOrEqual(0.2);
    expect(read).toBeGreaterThanOrEqual(-0.4);
  });

  it('is more than the sample peak: a sine at rate/4 sampled at 45 degrees', () => {
    const tone = steadyTone(12000, 0, 0.1).map((_, n) => Math.sin((Math.PI / 2) * n + Math.PI / 4));
    expect(Math.max(...tone)).toBeCloseTo(Math.SQRT1_2, 6);
    expect(truePeakOf(tone.map((x, n) => x * Math.min(1, n / 480, (4799 - n) / 480)))).toBeCloseTo(1, 3);
  });
});
