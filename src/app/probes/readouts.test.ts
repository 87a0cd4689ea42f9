// @vitest-environment node
/** The texts, colours and kept columns behind the views. */
import { describe, expect, it } from 'vitest';
import { lane, paint, RATE, signal, sine } from '../../../tests/support/probeDrawing.ts';
import type { SignalKind } from '../../patch/blockSpec.ts';
import { coarseFigures, type FigureTexts, laneFigures, outputFigures } from './figureTexts.ts';
import { centsText, hertzText, octavesBetween, pitchText, voltsNoteText, voltsText } from './noteText.ts';
import { lightness, parseColour, rampOf } from './ramp.ts';
import { type ColumnSource, type GridShape, SpectrogramColumns } from './spectrogramColumns.ts';

function figures(kind: SignalKind, samples: Float32Array, live = false): FigureTexts {
  return finished(laneFigures({ lane: lane('osc1.out', kind), samples, rate: RATE, from: 0, to: samples.length, live }));
}

function finished(steps: Generator<undefined, FigureTexts>): FigureTexts {
  for (;;) {
    const { done, value } = steps.next();
    if (done) return value;
  }
}

describe('figures', () => {
  it('a sound: pitch, note, cents; levels in volts and in dB below 10 V; loudness', () => {
    const { mean, rms, ...texts } = figures('audio', signal(4, sine(440, 5)));
    // 5 V of 10 V are -6.02 dB; a sine's RMS is 3.01 dB less. At 440 Hz the K-weighting takes off 0.69 + 0.66 dB: Table of BS.1770 and its offset.
    expect(texts).toMatchObject({ pitch: '440.0 Hz', note: 'A4', cents: '+0 ct', peak: '5.00 V, -6.0 dB', truePeak: '-6.0 dBTP' });
    expect(rms).toBe('3.54 V, -9.0 dB');
    expect(mean).toBe('0.00 V');
    expect(texts.short).toMatch(/^-9\.\d LUFS$/);
    expect(texts.integrated).toBe(texts.short);
  });

  it('a sound that is 30 cents sharp of A4 reads A4 +30 ct', () => {
    expect(figures('audio', signal(1, sine(440 * 2 ** (30 / 1200))))).toMatchObject({ note: 'A4', cents: '+30 ct' });
  });

  it('noise and silence have no pitch', () => {
    let state = 11;
    const noise = signal(1, () => {
      state = (Math.imul(state, 1664525) + 1013904223) | 0;
      return (5 * state) / 2 ** 31;
    });
    expect(figures('audio', noise).pitch).toBe('no pitch');
    expect(figures('audio', noise, true).pitch).toBe('no pitch');
    expect(figures('audio', new Float32Array(RATE))).toMatchObject({ pitch: 'no pitch', peak: '0.00 V, silent', integrated: 'silent' });
  });

  it('a melody is said to be several notes; live only the newest counts', () => {
    const melody = signal(2, (t) => sine(t < 1 ? 220 : 440)(t));
    expect(figures('audio', melody)).toMatchObject({ pitch: 'several', note: 'A3 to A4' });
    expect(figures('audio', melody, true)).toMatchObject({ pitch: '440.0 Hz', note: 'A4' });
  });

  it('a pitch voltage: 1 V per octave, 0 V is C4 = 261.6 Hz (ISO 16)', () => {
    expect(figures('pitch', new Float32Array(RATE))).toMatchObject({ pitch: '261.6 Hz', note: 'C4', cents: '+0 ct', truePeak: '–' });
    expect(figures('pitch', new Float32Array(RATE).fill(-1 + 10 / 1200), true)).toMatchObject({ note: 'C3', cents: '+10 ct' });
    expect(
      figures(
        'pitch',
        signal(2, (t) => (t < 1 ? 0 : 7 / 12)),
      ),
    ).toMatchObject({ pitch: 'several', note: 'C4 to G4' });
  });

  it('of a stretch that is too long to be there in full: its peak, and what to do', () => {
    const peaks = { least: Float32Array.of(-1, -6, -2, -9), greatest: Float32Array.of(1, 2, 3, 9), frames: 512 };
    expect(coarseFigures(peaks, 1024, { start: 0, span: 1.4 })).toMatchObject({ pitch: 'zoom in', peak: '6.00 V', rms: '–' });
    expect(coarseFigures(peaks, 1024, { start: 1.5, span: 9 }).peak).toBe('9.00 V');
  });

  it('a gate has levels only', () => {
    expect(figures('gate', new Float32Array(RATE).fill(8))).toMatchObject({ pitch: '–', peak: '8.00 V', mean: '8.00 V', integrated: '–' });
  });

  it('the output counts from full scale: 997 Hz at -23 dBFS in both channels are -23.0 LUFS (EBU Tech 3341, 1)', () => {
    const tone = signal(4, sine(997, 10 ** (-23 / 20)));
    expect(finished(outputFigures(tone, tone, RATE, 0, tone.length))).toMatchObject({
      peak: '-23.0 dB',
      truePeak: '-23.0 dBTP',
      short: '-23.0 LUFS',
      integrated: '-23.0 LUFS',
    });
    expect(finished(outputFigures(tone, tone, RATE, 0, RATE)).short).toBe('too short');
  });
});

describe('pitches in words', () => {
  it('to the digits that count, with the sign that counts', () => {
    expect([27.5, 440, 1000, 12000].map(hertzText)).toEqual(['27.50 Hz', '440.0 Hz', '1000 Hz', '12.00 kHz']);
    expect([0, 0.4, -0.4, -12.6].map(centsText)).toEqual(['+0 ct', '+0 ct', '+0 ct', '-13 ct']);
    expect(pitchText(261.6256)).toBe('261.6 Hz C4 +0 ct');
    expect([1 / 12, 0.5 / 12, -0.001].map(voltsNoteText)).toEqual(['C#4', 'C#4 -50 ct', 'C4']);
    expect([0, -0.001, -1.5].map((volts) => voltsText(volts))).toEqual(['0.00 V', '0.00 V', '-1.50 V']);
  });

  it('octaves from C to C', () => {
    expect(octavesBetween(100, 600).map(({ name }) => name)).toEqual(['C3', 'C4', 'C5']);
    expect(octavesBetween(16.35, 17)[0]?.name).toBe('C0');
  });
});

describe('colours of levels', () => {
  const dark = ['#1c2227', '#57c2ba', '#ece8de'] as const;
  const light = [paint.paper, paint.line.control, paint.ink] as const;

  it.each([
    ['paper', light],
    ['slate', dark],
  ])('on %s: lightness goes one way and evenly, so that grey eyes and printers see the same', (_name, colours) => {
    const [from, middle, to] = colours.map(parseColour) as [
      ReturnType<typeof parseColour>,
      ReturnType<typeof parseColour>,
      ReturnType<typeof parseColour>,
    ];
    const ramp = rampOf(from, middle, to);
    const steps = Array.from({ length: 256 }, (_, i) =>
      lightness([ramp[3 * i], ramp[3 * i + 1], ramp[3 * i + 2]] as [number, number, number]),
    );
    const way = Math.sign(lightness(to) - lightness(from));
    for (let i = 1; i < 256; i++) expect(way * ((steps[i] as number) - (steps[i - 1] as number))).toBeGreaterThan(-0.4);
    const middleOfAll = ((steps[0] as number) + (steps[255] as number)) / 2;
    expect(Math.abs((steps[128] as number) - middleOfAll)).toBeLessThan(8);
  });

  it('lightness of CIE 1976: black 0, white 100, middle grey of sRGB 53.6', () => {
    expect(lightness([0, 0, 0])).toBeCloseTo(0, 6);
    expect(lightness([255, 255, 255])).toBeCloseTo(100, 3);
    expect(lightness([128, 128, 128])).toBeCloseTo(53.59, 1);
    expect(parseColour('rgb(31, 42, 55)')).toEqual([31, 42, 55]);
  });
});

describe('columns of a spectrogram', () => {
  const samples = signal(2, sine(440));
  const shape: GridShape = { rate: RATE, frames: 1024, rows: 40, lowest: 30, highest: 18000, perColumn: 480 };
  const source = (from = 0, to = samples.length): ColumnSource => ({
    identity: samples,
    stretch: { from, to },
    first: from,
    end: to,
    length: samples.length,
    read: (at, out) => {
      for (let i = 0; i < out.length; i++) out[i] = at + i >= from && at + i < to ? (samples[at + i] as number) : 0;
    },
  });
  const always = (): boolean => true;

  it('moving along needs only the new ones', () => {
    const columns = new SpectrogramColumns();
    expect(columns.fill(source(), shape, 0, 99, always)).toBe(true);
    const made = columns.made;
    columns.fill(source(), shape, 0, 99, always);
    expect(columns.made).toBe(made);
    columns.fill(source(), shape, 10, 109, always);
    expect(columns.made).toBe(made + 10);
  });

  it('stops when its time is up and goes on where it was', () => {
    const columns = new SpectrogramColumns();
    let left = 30;
    expect(columns.fill(source(), shape, 0, 99, () => left-- > 0)).toBe(false);
    // Every eighth first: the whole picture is there, if coarsely.
    for (let k = 0; k <= 99; k++) expect(columns.nearest(k)).toBeDefined();
    expect(columns.column(99)).toBeDefined();
    expect(columns.column(1)).toBeUndefined();
    expect(columns.fill(source(), shape, 0, 99, always)).toBe(true);
    expect(columns.column(1)).toBeDefined();
  });

  it('a column cut short by the stretch at hand is made anew with the next stretch, one in its middle is not', () => {
    const columns = new SpectrogramColumns();
    columns.fill(source(0, 24000), shape, 20, 49, always);
    const [middle, edge] = [columns.column(30), columns.column(49)];
    columns.fill(source(0, 48000), shape, 20, 49, always);
    expect(columns.column(30)).toBe(middle);
    expect(columns.column(49)).not.toBe(edge);
    expect(Math.max(...(columns.column(49) ?? []))).toBeCloseTo(Math.max(...(middle ?? [])), 1);
  });

  it('another take or another zoom begins anew', () => {
    const columns = new SpectrogramColumns();
    columns.fill(source(), shape, 0, 9, always);
    columns.fill({ ...source(), identity: {} }, shape, 20, 29, always);
    expect(columns.column(0)).toBeUndefined();
    columns.fill(source(), { ...shape, perColumn: 240 }, 40, 49, always);
    expect(columns.column(25)).toBeUndefined();
  });
});
