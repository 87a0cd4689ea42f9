/** The units that may be typed for a setting of a given unit, and what they come to. */
import type { Unit } from '../blockSpec.ts';

/** From the number that was typed to the setting's own unit. */
type Convert = (typed: number) => number;

interface TypedUnits {
  /** What the unit is called in a sentence. */
  readonly say: string;
  /** Things to type, for the sentence that refuses. */
  readonly examples: readonly string[];
  /** By what is written after the number, in lower case without spaces. */
  readonly accepts: Readonly<Record<string, Convert>>;
}

const as: Convert = (typed) => typed;
const times =
  (factor: number): Convert =>
  (typed) =>
    typed * factor;
/** Division keeps decimals exact where a product would not: 300 ms are 0.3 s. */
const by =
  (divisor: number): Convert =>
  (typed) =>
    typed / divisor;
const inverse: Convert = (typed) => 1 / typed;
const per =
  (amount: number): Convert =>
  (typed) =>
    amount / typed;

const decibelsToFactor: Convert = (decibels) => 10 ** (decibels / 20);
const factorToDecibels: Convert = (factor) => 20 * Math.log10(factor);

const all = (names: string, convert: Convert): Record<string, Convert> =>
  Object.fromEntries(names.split(' ').map((name) => [name, convert]));

export const typedUnits: Readonly<Record<Unit, TypedUnits>> = {
  '': {
    say: 'a plain factor',
    examples: ['0.5', '50 %', '1/2', '-6 dB'],
    accepts: { '': as, x: as, '×': as, '%': by(100), db: decibelsToFactor },
  },
  Hz: {
    say: 'hertz',
    examples: ['440', '2.5 kHz', '0.5 s', '120 bpm'],
    accepts: {
      '': as,
      k: times(1000),
      ...all('hz hertz', as),
      khz: times(1000),
      mhz: by(1000),
      bpm: by(60),
      ...all('s sec', inverse),
      ms: per(1000),
      min: (typed) => 1 / (typed * 60),
    },
  },
  s: {
    say: 'seconds',
    examples: ['0.3', '300 ms', '2 min'],
    accepts: {
      '': as,
      ...all('s sec secs second seconds', as),
      ...all('ms msec', by(1000)),
      ...all('us µs μs', by(1e6)),
      ...all('min mins minutes', times(60)),
      hz: inverse,
      khz: per(0.001),
    },
  },
  V: { say: 'volts', examples: ['2', '2 V', '500 mV'], accepts: { '': as, ...all('v volt volts', as), mv: by(1000) } },
  dB: {
    say: 'decibels',
    examples: ['-6', '-6 dB', '50 %'],
    accepts: { '': as, db: as, '%': (typed) => factorToDecibels(typed / 100), x: factorToDecibels, '×': factorToDecibels },
  },
  cents: {
    say: 'cents',
    examples: ['12', '+12 ct', '0.5 st'],
    accepts: { '': as, ...all('ct c cent cents', as), ...semitones(times(100)), ...octaves(times(1200)) },
  },
  semitones: {
    say: 'semitones',
    examples: ['7', '+7 st', '1 oct'],
    accepts: { '': as, ...semitones(as), ...all('ct cent cents', by(100)), ...octaves(times(12)) },
  },
  octaves: {
    say: 'octaves',
    examples: ['1', '-1 oct', '12 st'],
    accepts: { '': as, ...octaves(as), ...semitones(by(12)), ...all('ct cent cents', by(1200)) },
  },
  bpm: {
    say: 'beats per minute',
    examples: ['120', '120 bpm', '0.5 s'],
    accepts: { '': as, bpm: as, hz: times(60), ...all('s sec', per(60)), ms: per(60_000) },
  },
  'oct/V': {
    say: 'octaves per volt',
    examples: ['0.5', '0.5 oct/V'],
    accepts: { '': as, ...all('oct/v octave/v octaves/v oct', as), '%': by(100) },
  },
  notes: { say: 'a number of notes', examples: ['8', '8 notes'], accepts: { '': as, ...all('note notes step steps', as) } },
};

/** What a pitch in volts takes besides: intervals from C4. */
export const pitchVoltUnits: Readonly<Record<string, Convert>> = {
  ...semitones(by(12)),
  ...all('ct cent cents', by(1200)),
  ...octaves(as),
};

function semitones(convert: Convert): Record<string, Convert> {
  return all('st semi semis semitone semitones', convert);
}

function octaves(convert: Convert): Record<string, Convert> {
  return all('oct octave octaves', convert);
}
