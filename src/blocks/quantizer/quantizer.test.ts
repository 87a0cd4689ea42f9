// @vitest-environment node
import { readFileSync } from 'node:fs';
import { Note, ScaleType } from 'tonal';
import { describe, expect, it } from 'vitest';
import { falls, gateSignal, rises } from '../../../tests/support/edges.ts';
import { type KernelRun, runKernel } from '../../../tests/support/runKernel.ts';
import { uniform } from '../../../tests/support/signals.ts';
import { worst } from '../../../tests/support/worst.ts';
import type { SettingSpec } from '../../patch/blockSpec.ts';
import { checkSetting } from '../../patch/checkSetting.ts';
import { plainNames } from './plainNames.mjs';
import { scaleMasks, scaleNames } from './scales.ts';
import { spec } from './spec.ts';

interface PublishedScales {
  readonly scales: readonly { readonly name: string; readonly semitones: readonly number[]; readonly chroma: string }[];
  readonly vectors: readonly {
    readonly scale: string;
    readonly root_semitone: number;
    readonly in_v: number;
    readonly nearest_v: readonly number[];
  }[];
}
const published: PublishedScales = JSON.parse(readFileSync(new URL('../../../tests/published/data/scales.json', import.meta.url), 'utf8'));

type Settings = NonNullable<KernelRun['settings']>;

const run = (frames: number, settings: Settings, inputs: NonNullable<KernelRun['inputs']>, more: Partial<KernelRun> = {}) =>
  runKernel(spec, { frames, settings: { hysteresis: 0, ...settings }, inputs, ...more });

/** Output semitones from C4 at each frame. */
async function semitones(settings: Settings, volts: Float32Array, more: KernelRun['inputs'] = {}): Promise<number[]> {
  const { pitch } = await run(volts.length, settings, { pitch: volts, ...more });
  return Array.from(pitch!, (v) => Math.round(v * 12));
}

/** Every five cents over four octaves, off the midpoints. */
const sweep = Float32Array.from({ length: 960 }, (_, i) => -2 + (i + 0.3) / 240);

/** The nearest allowed note, found by trying all of them; the lower of two. */
function nearest(x: number, allowed: (pitchClass: number) => boolean): number {
  let best = Number.NaN;
  for (let note = -200; note <= 200; note++) {
    if (allowed(((note % 12) + 12) % 12) && !(Math.abs(x - note) >= Math.abs(x - best))) best = note;
  }
  return best;
}

const CHROMATIC = 'chromatic';
/** The dictionary's notes by the names that we use. */
const chromas = new Map(ScaleType.all().flatMap((scale) => plainNames(scale).map((word) => [word, scale.chroma] as const)));
const chord = [0, 4, 7];
/** As documents write it. */
const own = (...pitchClasses: readonly number[]): boolean[] => Array.from({ length: 12 }, (_, k) => pitchClasses.includes(k));

describe('scales by name', () => {
  it('are all that the tonal library knows, its other names included', () => {
    const all = ScaleType.all().flatMap(plainNames);
    expect([...scaleNames].sort()).toEqual(all.sort());
    expect(ScaleType.all().length).toBeGreaterThan(90);
  });

  it.each(scaleNames.map((name, i) => [name, i] as const))('%s has the notes that tonal gives it', async (name, i) => {
    const chroma = chromas.get(name) ?? '';
    expect([...scaleMasks[i]!.toString(2).padStart(12, '0')].reverse().join('')).toBe(chroma);
    const root = (i * 7) % 12;
    const notes = await semitones({ scale: name, root }, sweep);
    const allowed = (pitchClass: number): boolean => chroma[(pitchClass + 12 - root) % 12] === '1';
    expect(notes).toEqual(Array.from(sweep, (volts) => nearest(volts * 12, allowed)));
  });

  it.each(published.scales.map((scale) => [scale.name, scale] as const))('%s: published semitones', (name, { semitones: degrees }) => {
    const mask = degrees.reduce((bits, degree) => bits | (1 << degree), 0);
    expect(scaleMasks[scaleNames.indexOf(name)]).toBe(mask);
  });

  it('published vectors: every input goes to its nearest note', async () => {
    const sets = new Map(
      published.vectors.map(({ scale, root_semitone }) => [`${scale} ${root_semitone}`, { scale, root: root_semitone }]),
    );
    expect(sets.size).toBeGreaterThan(10);
    for (const { scale, root } of sets.values()) {
      const rows = published.vectors.filter((row) => row.scale === scale && row.root_semitone === root);
      const { pitch } = await run(rows.length, { scale, root }, { pitch: Float32Array.from(rows, ({ in_v }) => in_v) });
      for (const [n, { in_v, nearest_v }] of rows.entries()) {
        const error = Math.min(...nearest_v.map((volts) => Math.abs(pitch![n]! - volts)));
        expect(error, `${scale} on ${root}, ${in_v} V`).toBeLessThan(1e-6);
      }
    }
  });

  it('0 V is C4, one volt an octave: the names of a played scale are those of tonal', async () => {
    const volts = Float32Array.from({ length: 25 }, (_, i) => i / 12);
    const played = new Set(await semitones({ scale: 'dorian', root: 2 }, volts));
    const names = [...played].map((note) => Note.fromMidiSharps(60 + note));
    expect(names.slice(0, 8)).toEqual(['C4', 'D4', 'E4', 'F4', 'G4', 'A4', 'B4', 'C5']); // D dorian
  });
});

describe('own notes', () => {
  it('take the place of the scale, and the root does not move them', async () => {
    const notes = await semitones({ scale: 'minor', root: 5, notes: own(...chord) }, sweep);
    expect(notes).toEqual(Array.from(sweep, (volts) => nearest(volts * 12, (k) => chord.includes(k))));
  });

  it('left out, empty or all off they leave the scale alone; a short list is filled up with off', async () => {
    const plain = await semitones({ scale: 'minor', root: 5 }, sweep);
    for (const notes of [[], own(), [false, false]]) expect(await semitones({ scale: 'minor', root: 5, notes }, sweep)).toEqual(plain);
    const two = await semitones({ notes: [true, false, true] }, sweep);
    expect(new Set(two.map((note) => ((note % 12) + 12) % 12))).toEqual(new Set([0, 2]));
  });

  it('a single one is taken in every octave', async () => {
    const notes = await semitones({ notes: own(9) }, sweep);
    expect(notes).toEqual(Array.from(sweep, (volts) => nearest(volts * 12, (k) => k === 9)));
  });

  it('may change while it plays: a note that is not allowed any more is left at once', async () => {
    const events = [{ frame: 50, setting: 'notes', value: own(5) }];
    const { pitch, trigger } = await run(200, { scale: CHROMATIC, hysteresis: 45 }, { pitch: 4 / 12 }, { events });
    expect([pitch![49]! * 12, pitch![50]! * 12].map(Math.round)).toEqual([4, 5]);
    expect(rises(trigger!)).toEqual([0, 50]);
  });

  it('are twelve booleans in a document', () => {
    const setting: SettingSpec = spec.settings.find(({ id }) => id === 'notes')!;
    expect(checkSetting(setting, own(0, 7), 'notes')).toEqual([]);
    expect(checkSetting(setting, [true], 'notes')).toEqual([]);
    expect(checkSetting(setting, new Array(13).fill(true), 'notes').map(({ path, rule }) => [path, rule])).toEqual([['notes', 'too-many']]);
    expect(checkSetting(setting, [true, 1, { on: true }], 'notes').map(({ path, rule }) => [path, rule])).toEqual([
      ['notes[1]', 'wrong-type'],
      ['notes[2]', 'wrong-type'],
    ]);
    expect(checkSetting(setting, true, 'notes').map(({ rule }) => rule)).toEqual(['wrong-type']);
  });
});

describe('thresholds', () => {
  it('a tie goes down', async () => {
    // C and F#: the midpoints are exact in binary
    expect(await semitones({ notes: own(0, 6) }, Float32Array.of(0.25, 0.75, -0.25, -0.75, 0.250001, 0.749999))).toEqual([
      0, 6, -6, -12, 6, 6,
    ]);
  });

  it.each([0, 5, 10, 45])('the note changes %i cents beyond the midpoint, both ways', async (hysteresis) => {
    const size = 4800;
    const up = Float32Array.from({ length: 2 * size }, (_, n) => (n < size ? n : 2 * size - n) / size); // 0 to 1 V and back, a quarter cent a frame
    for (const scale of [CHROMATIC, 'major']) {
      const notes = await semitones({ scale, hysteresis }, up);
      const steps = ScaleType.get(scale).chroma;
      const degrees = [...`${steps}1`].flatMap((sign, k) => (sign === '1' ? [k] : []));
      const middle = (i: number): number => (degrees[i]! + degrees[i + 1]!) / 2;
      for (let i = 0; i + 1 < degrees.length; i++) {
        const rise = up.findIndex((volts) => volts * 12 > middle(i) + hysteresis / 100);
        const fall = size + up.subarray(size).findIndex((volts) => volts * 12 <= middle(i) - hysteresis / 100);
        expect([notes[rise - 1], notes[rise]], `${scale} up ${i}`).toEqual([degrees[i], degrees[i + 1]]);
        expect([notes[fall - 1], notes[fall]], `${scale} down ${i}`).toEqual([degrees[i + 1], degrees[i]]);
      }
    }
  });

  it('a voltage that wavers by less than the hysteresis round a midpoint stays on one note', async () => {
    const next = uniform(7);
    const volts = Float32Array.from({ length: 2000 }, () => (0.5 + 0.09 * (2 * next() - 1)) / 12);
    expect(new Set(await semitones({ hysteresis: 10 }, volts)).size).toBe(1);
    expect(new Set(await semitones({ hysteresis: 5 }, volts)).size).toBe(2);
  });

  it.each([1, 2, 3, 4, 5, 6])('any input, slow and obvious against fast (seed %i)', async (seed) => {
    const next = uniform(seed);
    const notes = own(...Array.from({ length: 12 }, (_, k) => k).filter(() => next() < 0.4), 3);
    const hysteresis = 45 * next();
    let x = 0;
    const volts = Float32Array.from({ length: 3000 }, () => {
      x += next() < 0.02 ? 8 * (next() - 0.5) : 0.05 * (next() - 0.5);
      x = Math.max(-11.9, Math.min(11.9, x));
      return x;
    });
    const allowed = (k: number): boolean => notes[k]!;
    let note = Number.NaN;
    const neighbour = (way: number): number => {
      let other = note + way;
      while (!allowed(((other % 12) + 12) % 12)) other += way;
      return other;
    };
    const expected = Array.from(volts, (v) => {
      const leaves =
        Number.isNaN(note) ||
        v * 12 > (note + neighbour(1)) / 2 + hysteresis / 100 ||
        v * 12 <= (note + neighbour(-1)) / 2 - hysteresis / 100;
      if (leaves) note = nearest(v * 12, allowed);
      return note;
    });
    const got = await semitones({ notes, hysteresis }, volts);
    expect(got.map((each) => Math.max(-144, Math.min(144, each)))).toEqual(expected.map((each) => Math.max(-144, Math.min(144, each))));
    expect(new Set(got).size).toBeGreaterThan(5);
  });
});

describe('transpose', () => {
  it.each([
    [1 / 12, 1],
    [0.51 / 12, 1],
    [0.49 / 12, 0],
    [-1.6 / 12, -2],
    [1, 12],
  ])('%d V are %i semitones, added after the scale', async (transpose, by) => {
    const plain = await semitones({ scale: 'major' }, sweep);
    expect(await semitones({ scale: 'major' }, sweep, { transpose })).toEqual(plain.map((note) => note + by));
  });

  it('stops at the rails', async () => {
    const { pitch } = await run(10, {}, { pitch: 11, transpose: 5 });
    expect([...pitch!]).toEqual(new Array(10).fill(12));
  });
});

describe('following all the time', () => {
  const staircase = (n: number): number => [0, 2, 2.2, 4][Math.floor(n / 1000)]! / 12;

  it('trigger fires for 1 ms at each change of the note; gate is high and drops for 1 ms', async () => {
    const { pitch, trigger, gate } = await run(4000, { scale: CHROMATIC }, { pitch: staircase });
    expect([rises(trigger!), falls(trigger!)]).toEqual([
      [0, 1000, 3000],
      [48, 1048, 3048],
    ]);
    expect([rises(gate!), falls(gate!)]).toEqual([
      [0, 1048, 3048],
      [1000, 3000],
    ]);
    expect([0, 1000, 2000, 3000].map((n) => Math.round(pitch![n]! * 12))).toEqual([0, 2, 2, 4]);
  });

  it('a transposition is a change too', async () => {
    const { trigger } = await run(2000, {}, { pitch: 0, transpose: (n) => (n < 700 ? 0 : 0.5) });
    expect(rises(trigger!)).toEqual([0, 700]);
  });
});

describe('with a trigger', () => {
  const rising = (n: number): number => n / 9600; // a semitone in 800 frames
  const clock = gateSignal([100, 300], [500, 700], [1300, 1310], [3000, 3100]);

  it('samples on the frame of the edge and keeps the note; before the first it stands at 0 V', async () => {
    const { pitch } = await run(4000, { scale: CHROMATIC, notes: [] }, { pitch: (n) => 1 + rising(n), trigger: clock, transpose: 1 });
    for (let n = 0; n < 4000; n++) {
      const edge = [3000, 1300, 500, 100].find((each) => n >= each);
      const note = edge === undefined ? 0 : 12 + Math.ceil((edge / 9600) * 12 - 0.5) + 12;
      expect(Math.round(pitch![n]! * 12), `frame ${n}`).toBe(note);
    }
  });

  it.each(['change', 'always'])('emit %s', async (emit) => {
    const { trigger, gate } = await run(4000, { emit }, { pitch: rising, trigger: clock });
    // 100: C, first; 500: C#; 1300: D; 3000: E. Then the same at a standstill:
    expect(rises(trigger!)).toEqual([100, 500, 1300, 3000]);
    expect([rises(gate!), falls(gate!)]).toEqual([
      [100, 500, 1300, 3000],
      [300, 700, 1310, 3100],
    ]);
    const still = await run(4000, { emit }, { pitch: (n) => (n < 1000 ? 0 : 0.5), trigger: clock });
    expect(rises(still.trigger!)).toEqual(emit === 'always' ? [100, 500, 1300, 3000] : [100, 1300]);
    expect(falls(still.trigger!).slice(0, 1)).toEqual([148]);
  });

  it('transpose is taken on the edge as well', async () => {
    const { pitch } = await run(600, {}, { pitch: 0, trigger: clock, transpose: (n) => (n < 200 ? 0 : 1) });
    expect([pitch![150], pitch![250], pitch![499], pitch![500]]).toEqual([0, 0, 0, 1]);
  });

  it('the hysteresis holds here too', async () => {
    const wavering = (n: number): number => (n < 400 ? 0.45 : 0.55) / 12;
    expect(rises((await run(1000, { hysteresis: 10 }, { pitch: wavering, trigger: clock })).trigger!)).toEqual([100]);
    expect(rises((await run(1000, { hysteresis: 0 }, { pitch: wavering, trigger: clock })).trigger!)).toEqual([100, 500]);
  });
});

it('moves no note by more than half the largest gap of the scale', async () => {
  const notes = await semitones({ scale: 'major pentatonic' }, sweep);
  expect(worst(sweep.length, (n) => notes[n]! - sweep[n]! * 12)).toBeLessThanOrEqual(1.5);
});
