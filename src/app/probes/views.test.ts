import { describe, expect, it } from 'vitest';
import { clockSignal } from '../../../tests/support/edges.ts';
import { type ProbeSignal, paint, probeDrawing, RATE, SIZE, signal, sine } from '../../../tests/support/probeDrawing.ts';
import { beatsOf, drawGates, rowOf, sayGates } from './drawGates.ts';
import { drawNotes, readNotes, sayNotes } from './drawNotes.ts';
import { drawSpectrogram, LEAST_HZ, MOST_HZ, readSpectrogram } from './drawSpectrogram.ts';
import { drawSpectrum, noteSpectrum, readSpectrum, saySpectrum } from './drawSpectrum.ts';
import { drawWave } from './drawWave.ts';
import { chosenPair, drawXY, sayXY } from './drawXY.ts';
import { place } from './scales.ts';
import { alignedToTrigger, earlierSweeps } from './sweeps.ts';
import { views } from './views.ts';

const plot = SIZE.width - SIZE.gutter;
const gate = (interval: number, first = 0, length = interval / 2): Float32Array =>
  signal(4, (t) => clockSignal(interval * RATE, first * RATE, length * RATE)(Math.round(t * RATE)));

/** A4, C5, A4, held half a second each, then a glide of half a second to A5 (ISO 16; 1 V per octave, C4 = 0 V). */
const tune = signal(2.5, (t) => (t < 0.5 || (t >= 1 && t < 1.5) ? 0.75 : t < 1 ? 1 : t < 2 ? 0.75 + 2 * (t - 1.5) : 1.75));

describe('every view', () => {
  const all: readonly ProbeSignal[] = [
    { name: 'osc1.sine', kind: 'audio', samples: signal(1, sine(440)) },
    { name: 'lfo1.triangle', kind: 'control', samples: signal(1, sine(2)) },
    { name: 'clk1.beat', kind: 'gate', samples: gate(0.25).subarray(0, RATE) },
    { name: 'seq1.pitch', kind: 'pitch', samples: tune.subarray(0, RATE) },
    { name: 'osc2.sine', kind: 'audio' },
    { name: 'osc3.sine', kind: 'audio', samples: new Float32Array(0) },
    { name: 'osc4.sine', kind: 'audio', samples: new Float32Array(RATE).fill(Number.NaN) },
  ];

  it.each(views.map((view) => [view.title, view] as const))('%s draws any signal, also one that is not there yet', (_title, view) => {
    const parts = { pointer: 500, pointerY: 60, scope: { show: view.id, trigger: 'osc1.sine', persistence: 0.2 } };
    for (const span of [0.001, 0.3, 1]) {
      const drawing = probeDrawing(all, { ...parts, span });
      view.draw(drawing);
      for (const i of all.keys()) expect(typeof (view.say?.(drawing, i) ?? '')).toBe('string');
      expect(typeof (view.read?.(drawing) ?? '')).toBe('string');
    }
    const empty = probeDrawing([{ name: 'osc2.sine', kind: 'audio' }], parts);
    view.draw(empty);
    if (!view.table) expect(empty.seen.texts.map(({ text }) => text).join(' ')).toMatch(/no signal yet|two probes/);
  });

  it('has a name and an id of its own', () => {
    expect(new Set(views.map(({ id }) => id)).size).toBe(views.length);
    expect(new Set(views.map(({ title }) => title)).size).toBe(views.length);
  });
});

describe('X-Y', () => {
  const quarter: readonly ProbeSignal[] = [
    { name: 'osc1.sine', kind: 'audio', samples: signal(0.1, sine(100, 4)) },
    { name: 'osc2.sine', kind: 'audio', samples: signal(0.1, (t) => 4 * Math.cos(2 * Math.PI * 100 * t)) },
  ];

  it('two sines a quarter apart make a circle: the scales are equal', () => {
    const drawing = probeDrawing(quarter);
    drawXY(drawing);
    const dots = drawing.seen.rects;
    const xs = dots.flatMap(({ x, width }) => [x, x + width]);
    const ys = dots.map(({ y }) => y);
    const width = Math.max(...xs) - Math.min(...xs);
    const height = Math.max(...ys) - Math.min(...ys);
    expect(Math.abs(width - height)).toBeLessThan(2);
    // 8 V of the 10 V that the square spans.
    expect(width).toBeGreaterThan(0.78 * (SIZE.height - 28));
  });

  it('marks the last point, and says where it is', () => {
    const drawing = probeDrawing(quarter, { span: 0.0775 });
    drawXY(drawing);
    // After 7.75 periods the first sine is at -4 V, the second at 0 V.
    expect(sayXY(drawing, 0)).toMatch(/^across, ends at -4\.00 V$/);
    expect(sayXY(drawing, 1)).toMatch(/^up, ends at -?0\.0\d V$/);
    const [ring] = drawing.seen.rings;
    const left = Math.min(...drawing.seen.rects.map(({ x }) => x));
    expect(Math.abs((ring?.[0] ?? 0) - left)).toBeLessThan(2);
  });

  it('takes sound and control first, and never the same probe twice by itself', () => {
    const lanes = probeDrawing([
      { name: 'seq1.pitch', kind: 'pitch' },
      { name: 'lfo1.triangle', kind: 'control' },
      { name: 'osc1.sine', kind: 'audio' },
    ]).lanes;
    const none = { across: undefined, up: undefined };
    expect(chosenPair(lanes, none)).toEqual(['lfo1.triangle', 'osc1.sine']);
    expect(chosenPair(lanes, { ...none, up: 'lfo1.triangle' })).toEqual(['osc1.sine', 'lfo1.triangle']);
    expect(chosenPair(lanes.slice(0, 1), none)).toBeUndefined();
  });
});

describe('spectrum', () => {
  const tone: readonly ProbeSignal[] = [{ name: 'osc1.sine', kind: 'audio', samples: signal(1, sine(440)) }];

  it('names the notes on the axis of frequency', () => {
    const drawing = probeDrawing(tone);
    drawSpectrum(drawing);
    const c4 = drawing.seen.texts.find(({ text }) => text === 'C4');
    expect(c4?.x).toBeCloseTo(SIZE.gutter + place(261.6256, 20, 20000) * plot, 1);
  });

  it('the cursor takes the line beside it and reads hertz, note, cents and level', () => {
    const near = SIZE.gutter + place(440, 20, 20000) * plot + 5;
    // A sine of 5 V amplitude is 13.98 dB above 1 V.
    expect(readSpectrum(probeDrawing(tone, { pointer: near }))).toBe('440.0 Hz A4 +0 ct, osc1, sine 14.0 dBV');
    expect(readSpectrum(probeDrawing(tone, { pointer: near + 300 }))).toMatch(/^[\d.]+ (k)?Hz \S+ [+-]\d+ ct, osc1, sine below -100 dBV$/);
  });

  it('says what is strongest, and how it looked', () => {
    const drawing = probeDrawing(tone);
    expect(saySpectrum(drawing, 0)).toBe('most at 440.0 Hz A4 +0 ct, 14.0 dBV');
    expect(noteSpectrum(drawing)).toBe('Blackman-Harris window of 341 ms, mean power of the stretch shown');
    expect(noteSpectrum({ ...drawing, axis: { start: 0, span: 0.1 } })).toContain('middle of the stretch shown');
  });

  it('only the visible stretch counts', () => {
    const samples = signal(2, (t) => (t < 1 ? sine(440)(t) : sine(1000)(t)));
    const late = probeDrawing([{ name: 'osc1.sine', kind: 'audio', samples }], { start: 1.2, span: 0.6 });
    expect(saySpectrum(late, 0)).toContain('1000 Hz');
  });
});

describe('spectrogram', () => {
  /** Draws until nothing is left to work out. */
  function drawn(samples: Float32Array, parts = {}): ReturnType<typeof probeDrawing> {
    let more = true;
    const drawing = probeDrawing([{ name: 'osc1.sine', kind: 'audio', samples }], {
      ...parts,
      again: () => {
        more = true;
      },
    });
    for (let i = 0; more && i < 400; i++) {
      more = false;
      drawSpectrogram(drawing);
    }
    expect(more).toBe(false);
    return drawing;
  }
  const yOf = (hz: number): number => 2 + (SIZE.height - 24) * (1 - place(hz, LEAST_HZ, MOST_HZ));

  it('a tone stands at its note with its level, before and after there is none', () => {
    const samples = signal(2, (t) => (t >= 0.5 && t < 1.5 ? sine(440)(t) : 0));
    const drawing = drawn(samples);
    const at = (seconds: number, hz: number): string =>
      readSpectrogram({ ...drawing, pointer: SIZE.gutter + (seconds / 2) * plot, pointerY: yOf(hz) });
    const level = (text: string): number => Number(/(-?\d+) dBV/.exec(text)?.[1]);
    expect(level(at(1, 440))).toBeGreaterThanOrEqual(12);
    expect(at(1, 440)).toMatch(/^osc1, sine: 4\d\d\.\d Hz A4 /);
    for (const [seconds, hz] of [
      [0.2, 440],
      [1.8, 440],
      [1, 880],
      [1, 220],
    ] as const)
      expect(level(at(seconds, hz))).toBeLessThan(-40);
  });

  it('a take too long to be there in full is read piece by piece, and every column comes', () => {
    const samples = signal(60, (t) => (t < 30 ? sine(220)(t) : sine(880)(t)));
    const empty = new Float32Array(0);
    const drawing = probeDrawing(
      ['a', 'b', 'c'].map((name) => ({ name: `${name}.out`, kind: 'audio', samples: empty })),
      { span: 60, width: 264 },
    );
    const [first] = drawing.lanes;
    const peaks = { least: new Float32Array(5625), greatest: new Float32Array(5625), frames: 512 };
    const record = (from: number, to: number): void => {
      if (first)
        first.recorder.recorded = { rate: RATE, frames: samples.length, peaks, window: { from, samples: samples.slice(from, to) } };
    };
    record(0, 0);
    const windows = drawing.windows.map((window) => window && { ...window, peaks });
    const pieces: number[] = [];
    let more = true;
    let scope = drawing.scope;
    for (let i = 0; more && i < 2000; i++) {
      more = false;
      const readPiece: typeof drawing.readPiece = (piece) => {
        more = true;
        pieces.push(piece.start);
        scope = { ...scope, piece };
        // As takes answer: what is asked for and half of it on each side.
        record(Math.max(0, Math.round((piece.start - piece.span / 2) * RATE)), Math.round((piece.start + 1.5 * piece.span) * RATE));
      };
      const again = (): void => {
        more = true;
      };
      drawSpectrogram({ ...drawing, lanes: drawing.lanes.slice(0, 1), windows: windows.slice(0, 1), scope, readPiece, again });
    }
    expect(pieces.length).toBeGreaterThan(3);
    expect(pieces).toEqual([...pieces].sort((a, b) => a - b));
    for (const [seconds, hz] of [
      [1, 220],
      [29, 220],
      [31, 880],
      [59, 880],
    ] as const) {
      const at = { pointer: SIZE.gutter + (seconds / 60) * 200, pointerY: yOf(hz) };
      expect(
        Number(
          /(-?\d+) dBV/.exec(readSpectrogram({ ...drawing, ...at, lanes: drawing.lanes.slice(0, 1), windows: windows.slice(0, 1) }))?.[1],
        ),
      ).toBeGreaterThan(10);
    }
  });

  it('names octaves beside the picture', () => {
    const drawing = drawn(signal(0.5, sine(440)));
    const c5 = drawing.seen.texts.find(({ text }) => text === 'C5');
    expect(c5?.y).toBeCloseTo(yOf(523.2511), 0);
  });
});

describe('gates', () => {
  const rows: readonly ProbeSignal[] = [
    { name: 'clk1.beat', kind: 'gate', samples: gate(0.5, 0.25) },
    { name: 'clk1.eighth', kind: 'gate', samples: gate(0.25, 0.25, 0.01) },
    { name: 'rnd1.gate', kind: 'gate', samples: signal(4, (t) => (t > 1 && t < 1.3 ? 8 : 0)) },
  ];

  it('a bar from each rise to its fall', () => {
    const drawing = probeDrawing(rows);
    drawGates(drawing);
    const bars = drawing.seen.rects.filter(({ y, width }) => y < SIZE.height / 3 && width > 2);
    expect(bars.map(({ x }) => Math.round(((x - SIZE.gutter) / plot) * 4000))).toEqual([250, 750, 1250, 1750, 2250, 2750, 3250, 3750]);
    for (const { width } of bars) expect((width / plot) * 4).toBeCloseTo(0.25, 3);
  });

  it('the slowest steady gate gives the beat', () => {
    const drawing = probeDrawing(rows);
    const beat = beatsOf(rows.map((_, i) => rowOf(drawing, i)));
    expect(beat?.row).toBe(0);
    expect(beat?.times.slice(0, 2).map((t) => Number(t.toFixed(4)))).toEqual([0.25, 0.75]);
    drawGates(drawing);
    expect(drawing.seen.paths.filter(({ dashed }) => dashed)).toHaveLength(8);
  });

  it('the beats of the take are drawn where there are any', () => {
    const beats = { edges: Int32Array.from([0, 1, 2, 3, 4], (beat) => beat * RATE), rate: RATE };
    const drawing = probeDrawing(rows, { beats, start: 0.5, span: 2 });
    drawGates(drawing);
    const lines = drawing.seen.paths
      .filter(({ dashed }) => dashed)
      .map(({ points }) => Math.round((((points[0]?.[0] ?? 0) - SIZE.gutter) / plot) * 200) / 100);
    expect(lines).toEqual([0.5, 1.5]);
  });

  it('says the rhythm in words', () => {
    const drawing = probeDrawing(rows);
    expect(sayGates(drawing, 0)).toBe('8 times, every 500 ms (120 bpm)');
    expect(sayGates(drawing, 2)).toBe('once');
    expect(sayGates(probeDrawing(rows, { start: 1.1, span: 0.1 }), 2)).toBe('high throughout');
    expect(sayGates(probeDrawing(rows, { start: 2, span: 1 }), 2)).toBe('never high here');
  });

  it('a gate without a probe is drawn from the peaks of the take', () => {
    const drawing = probeDrawing([{ name: 'clk1.beat', kind: 'gate' }], { span: 4 });
    // Peaks of 11 ms move its edges by up to a twentieth of the interval; in the mean they do not matter.
    const samples = gate(0.23, 0.25);
    const parts = Array.from({ length: Math.ceil(samples.length / 512) }, (_, i) => samples.subarray(512 * i, 512 * i + 512));
    const coarse = {
      least: Float32Array.from(parts, (part) => Math.min(...part)),
      greatest: Float32Array.from(parts, (part) => Math.max(...part)),
      frames: 512,
      rate: RATE,
    };
    const lanes = drawing.lanes.map((one) => ({ ...one, coarse }));
    expect(sayGates({ ...drawing, lanes }, 0)).toMatch(/^17 times, every (229|230|231) ms \(26\d bpm\)$/);
  });
});

describe('notes', () => {
  it('bars with letters and volts, glides as lines', () => {
    const drawing = probeDrawing([{ name: 'seq1.pitch', kind: 'pitch', samples: tune }]);
    drawNotes(drawing);
    const names = drawing.seen.texts.map(({ text }) => text).filter((text) => /^[A-G]#?\d \d/.test(text));
    expect(names).toEqual(expect.arrayContaining(['A4 0.75 V', 'C5 1.00 V', 'A5 1.75 V']));
    const bars = drawing.seen.rects.map(({ x }) => Number((((x - SIZE.gutter) / plot) * 2.5).toFixed(2)));
    for (const [i, start] of [0, 0.5, 1, 2].entries()) expect(Math.abs((bars[i] ?? 9) - start)).toBeLessThan(0.03);
    expect(drawing.seen.paths.filter(({ dashed }) => dashed)).toHaveLength(1);
    expect(sayNotes(drawing, 0)).toBe('A4 C5 A4 A5');
  });

  it('the gate of the same block strikes the notes', () => {
    const pitch = signal(2, () => 0.75);
    const struck = signal(2, (t) => (t % 0.5 < 0.2 ? 8 : 0));
    const drawing = probeDrawing([
      { name: 'seq1.pitch', kind: 'pitch', samples: pitch },
      { name: 'seq1.gate', kind: 'gate', samples: struck },
      { name: 'clk1.beat', kind: 'gate', samples: signal(2, () => 8) },
    ]);
    expect(sayNotes(drawing, 0)).toBe('A4 A4 A4 A4, by gate');
    const at = (seconds: number): string =>
      readNotes({ ...drawing, lanes: drawing.lanes.slice(0, 1), pointer: SIZE.gutter + (seconds / 2) * plot });
    expect(at(0.6)).toBe('0.600 s, seq1, pitch A4 0.750 V');
    expect(at(0.4)).toBe('0.400 s, no note');
  });

  it('triggers of a millisecond hold their note until the next', () => {
    const drawing = probeDrawing([
      { name: 'seq1.pitch', kind: 'pitch', samples: signal(1, () => 0) },
      { name: 'seq1.trigger', kind: 'gate', samples: signal(1, (t) => (t % 0.25 < 0.001 ? 8 : 0)) },
    ]);
    expect(sayNotes(drawing, 0)).toBe('C4 C4 C4 C4, by trigger');
    expect(readNotes({ ...drawing, lanes: drawing.lanes.slice(0, 1), pointer: SIZE.gutter + 0.6 * plot })).toContain('C4');
  });
});

describe('persistence', () => {
  const swelling: readonly ProbeSignal[] = [{ name: 'osc1.sine', kind: 'audio', samples: signal(1, (t) => (0.2 + t) * sine(100)(t)) }];
  const scope = { show: 'wave', trigger: 'osc1.sine', persistence: 0.2 } as const;

  it('earlier sweeps lie behind, begin at an edge and are paler with age', () => {
    const drawing = probeDrawing(swelling, { start: 0.5, span: 0.019, scope });
    const sweeps = earlierSweeps(alignedToTrigger(drawing));
    // A sweep of 19 ms fits into two periods of 10 ms: 0.2 s hold ten.
    expect(sweeps.length).toBeGreaterThanOrEqual(8);
    for (const { at } of sweeps) expect(Math.abs(at / 480 - Math.round(at / 480))).toBeLessThan(0.01);
    const strengths = sweeps.map(({ strength }) => strength);
    expect(strengths).toEqual([...strengths].sort((a, b) => a - b));
    expect(strengths[0]).toBeLessThan(0.2);
    drawWave(drawing);
    const traces = drawing.seen.paths.filter(({ points, style }) => style === paint.line.audio && points.length > 100);
    expect(traces).toHaveLength(sweeps.length + 1);
    expect(traces.at(-1)?.alpha).toBe(1);
  });

  it('all of one tone for who asked for little motion', () => {
    const strengths = earlierSweeps(probeDrawing(swelling, { start: 0.5, span: 0.019, scope, calm: true })).map(({ strength }) => strength);
    expect(new Set(strengths).size).toBe(1);
  });

  it('none without a trigger', () => {
    const drawing = probeDrawing(swelling, { start: 0.5, span: 0.019, scope: { ...scope, trigger: undefined } });
    drawWave(drawing);
    expect(drawing.seen.paths.filter(({ points, style }) => style === paint.line.audio && points.length > 100)).toHaveLength(1);
  });
});
