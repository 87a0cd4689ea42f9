import { toDb } from '../../../src/measure/levels.ts';
import { createLoudnessMeter, integratedLoudness, kWeighting, type LoudnessMeter } from '../../../src/measure/loudness.ts';
import { truePeakOf } from '../../../src/measure/truePeak.ts';
import { publishedTable } from '../../support/publishedTable.ts';
import type { Check, Figure, Topic } from '../check.ts';
import signals from '../data/loudness_signals.json' with { type: 'json' };
import { burst, type Recipe, segments, steadyTone, tones } from '../loudnessSignals.ts';
import { works } from '../sources.ts';

const RATE = 48000;
const METER = 'loudness meter';

export function recipeOf(id: string): Recipe {
  const found = signals.cases.find((entry) => entry.id === id);
  if (!found?.recipe) throw new Error(`no recipe for ${id}`);
  return found.recipe;
}

/** Gain of the K-weighting at a frequency, dB. */
export function weightAt(hz: number, rate: number): number {
  return kWeighting(rate).reduce((sum, { b, a }) => {
    const w = (2 * Math.PI * hz) / rate;
    const size = (c: readonly number[]): number =>
      Math.hypot(
        c.reduce((part, value, k) => part + value * Math.cos(k * w), 0),
        c.reduce((part, value, k) => part + value * Math.sin(k * w), 0),
      );
    return sum + toDb(size(b) / size([1, ...a]));
  }, 0);
}

const weighting: Figure = {
  title: 'K-weighting at 48 kHz',
  x: { title: 'frequency, Hz', log: true, from: 15, to: 22000 },
  y: { title: 'dB', from: -20, to: 6 },
};
/** Columns of k_weighting_48k.csv: frequency, both stages, their sum. */
const weights = publishedTable('k_weighting_48k');

const kWeights: Check = {
  block: METER,
  title: 'weighs frequencies as the standard',
  source: works.bs1770,
  unit: 'dB',
  rows: weights.map((row) => ({ name: `${row.f_hz} Hz`, x: row.f_hz as number, published: row.k_db as number, within: 5e-4 })),
  measure: async () => weights.map((row) => weightAt(row.f_hz as number, RATE)),
  curve: {
    figure: weighting,
    series: 'measured',
    trace: async () => Array.from({ length: 161 }, (_, i) => 15 * 1460 ** (i / 160)).map((x) => ({ x, y: weightAt(x, RATE) })),
  },
};

const integrated: readonly (readonly [id: string, lufs: number])[] = [
  ['ebu-cal-18', -18],
  ['3341-1', -23],
  ['3341-2', -33],
  ['3341-3', -23],
  ['3341-4', -23],
  ['3341-5', -23],
  ['3341-6', -23],
];

function metered(channels: readonly Float32Array[]): LoudnessMeter {
  const meter = createLoudnessMeter(RATE, channels.length);
  meter.push(channels);
  return meter;
}

/** Least and greatest of what the meter showed from `seconds` on, looked at every 10 ms. */
function readings(
  channels: readonly Float32Array[],
  seconds: number,
  read: (meter: LoudnessMeter) => number | undefined,
): [number, number] {
  const meter = createLoudnessMeter(RATE, channels.length);
  const step = RATE / 100;
  let [least, greatest] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (let at = 0; at < (channels[0]?.length ?? 0); at += step) {
    meter.push(channels, at, at + step);
    const value = read(meter) ?? Number.NaN;
    if (at + step < seconds * RATE) continue;
    least = Math.min(least, value);
    greatest = Math.max(greatest, value);
  }
  return [least, greatest];
}

const row = (name: string, published: number, within: number | readonly [number, number]) => ({ name, published, within });
const check = (title: string, source: string, unit: string, rows: Check['rows'], measure: () => readonly number[]): Check => ({
  block: METER,
  title,
  source,
  unit,
  rows,
  measure: async () => measure(),
});

const shortTerm = (meter: LoudnessMeter): number | undefined => meter.shortTerm();
const momentary = (meter: LoudnessMeter): number | undefined => meter.momentary();

const successive: Figure = {
  title: 'Highest loudness of successive tones',
  say: 'Twenty tones that begin later and later: at one level, and each 1 dB louder than the one before.',
  x: { title: 'tone', from: 0, to: 21 },
  y: { title: 'LUFS', from: -40, to: -17 },
};

/** Cases of 20 signals each: tones that begin later and later, at one level or each 1 dB louder than the one before. */
const highest = (
  [
    ['3341-10', 'short-term', -23, 0],
    ['3341-11', 'short-term', -38, 1],
    ['3341-13', 'momentary', -23, 0],
    ['3341-14', 'momentary', -38, 1],
  ] as const
).map(([id, scale, first, step]): Check => {
  const rows = Array.from({ length: 20 }, (_, i) => ({ ...row(`signal ${i + 1}`, first + step * i, 0.1), x: i + 1 }));
  const read = (meter: LoudnessMeter) => (scale === 'short-term' ? meter.highestShortTerm() : meter.highestMomentary());
  return {
    ...check(`${id}, the highest ${scale} loudness wherever a tone begins`, works.tech3341, 'LUFS', rows, () =>
      segments(recipeOf(id)).map((channels) => read(metered(channels)) ?? Number.NaN),
    ),
    curve: { figure: successive, series: `${id}, ${scale}` },
  };
});

const peaks: readonly (readonly [id: string, divisor: number, amplitude: number, degrees: number, dbtp: number])[] = [
  ['3341-15', 4, 0.5, 0, -6],
  ['3341-16', 4, 0.5, 45, -6],
  ['3341-17', 6, 0.5, 60, -6],
  ['3341-18', 8, 0.5, 67.5, -6],
  ['3341-19', 4, 1.41, 45, 3],
];

/** Half a second of a sine at a fraction of the rate, with fades of 10 ms. */
function fadedSine(divisor: number, amplitude: number, degrees: number): Float32Array {
  const [fade, frames] = [RATE / 100, RATE / 2];
  return Float32Array.from({ length: frames }, (_, n) => {
    const ramp = Math.min(1, (n + 0.5) / fade, (frames - n - 0.5) / fade);
    return ramp * amplitude * Math.sin((2 * Math.PI * n) / divisor + (degrees * Math.PI) / 180);
  });
}

const largest = (values: readonly number[], published: readonly number[]): string =>
  Math.max(...values.map((value, i) => Math.abs(value - (published[i] ?? Number.NaN)))).toFixed(3);

export const loudness: Topic = {
  id: 'loudness',
  title: 'Loudness and true peak',
  say: "The meters of reports and probes on the standards' test signals, made from their recipes; the tolerances are the standards' own.",
  glance: ([, , lufs = []]) =>
    `integrated within ${largest(
      lufs,
      integrated.map(([, level]) => level),
    )} LU`,
  checks: [
    kWeights,
    check('reads a 997 Hz sine at full scale in one channel as -3.01', works.bs1770, 'LKFS', [row('997 Hz', -3.01, 0.005)], () => [
      integratedLoudness([steadyTone(997, 0, 5)], RATE) ?? Number.NaN,
    ]),
    check(
      'integrated loudness',
      works.tech3341,
      'LUFS',
      integrated.map(([id, lufs]) => row(id, lufs, 0.1)),
      () => integrated.map(([id]) => integratedLoudness(tones(recipeOf(id)), RATE) ?? Number.NaN),
    ),
    check(
      'momentary and short-term loudness stand still',
      works.tech3341,
      'LUFS',
      ['3341-9, least short-term', '3341-9, greatest short-term', '3341-12, least momentary', '3341-12, greatest momentary'].map((name) =>
        row(name, -23, 0.1),
      ),
      () => [...readings(tones(recipeOf('3341-9')), 3, shortTerm), ...readings(tones(recipeOf('3341-12')), 1, momentary)],
    ),
    ...highest,
    check(
      'loudness range',
      works.tech3342,
      'LU',
      [10, 5, 20, 15].map((range, i) => row(`3342-${i + 1}`, range, 1)),
      () => [1, 2, 3, 4].map((i) => metered(tones(recipeOf(`3342-${i}`))).range() ?? Number.NaN),
    ),
    check(
      'true peak of sines between the samples',
      works.tech3341,
      'dBTP',
      peaks.map(([id, , , , dbtp]) => row(id, dbtp, [0.4, 0.2])),
      () => peaks.map(([, divisor, amplitude, degrees]) => toDb(truePeakOf(fadedSine(divisor, amplitude, degrees)))),
    ),
    check(
      'finer than asked: within 0.05 dB of the amplitude that the sine has',
      works.bs1770peak,
      'dBTP',
      peaks.map(([id, , amplitude]) => row(id, toDb(amplitude), 0.05)),
      () => peaks.map(([, divisor, amplitude, degrees]) => toDb(truePeakOf(fadedSine(divisor, amplitude, degrees)))),
    ),
    check(
      'true peak of a burst, sampled with four offsets',
      works.tech3341,
      'dBTP',
      [0, 1, 2, 3].map((offset) => row(`3341-${20 + offset}`, 0, [0.4, 0.2])),
      () => [0, 1, 2, 3].map((offset) => toDb(truePeakOf(burst(offset)))),
    ),
  ],
};
