/** What the views of the probes draw from, made of plain signals. */
import type { Drawing } from '../../src/app/probes/drawing.ts';
import type { Lane, Window } from '../../src/app/probes/lanes.ts';
import type { Paint } from '../../src/app/probes/paint.ts';
import { Recorder } from '../../src/app/probes/recorder.ts';
import { createScope, type ScopeState } from '../../src/app/probes/scopeStore.ts';
import type { SignalKind } from '../../src/patch/blockSpec.ts';
import { type RecordingCanvas, recordingCanvas } from './recordingCanvas.ts';

export const RATE = 48000;
export const SIZE = { width: 1064, height: 320, gutter: 64 } as const;

export const paint: Paint = {
  paper: '#faf8f3',
  ink: '#1f2a37',
  soft: '#545d69',
  rule: '#e4e0d6',
  before: '#b9b3a4',
  pick: '#c8890a',
  font: '11px monospace',
  line: { audio: '#1f2a37', control: '#0b6e6e', gate: '#a84a18', pitch: '#5b3fa0' },
};

export interface ProbeSignal {
  /** "block.port" */
  readonly name: string;
  readonly kind: SignalKind;
  /** Left out: nothing was recorded yet. */
  readonly samples?: Float32Array | undefined;
}

export function lane(name: string, kind: SignalKind): Lane {
  const [block = '', port = ''] = name.split('.');
  return { name, title: block, port, kind, recorder: new Recorder(() => undefined) };
}

/** A signal of so many seconds, by its time in seconds. */
export const signal = (seconds: number, wave: (t: number) => number): Float32Array =>
  Float32Array.from({ length: Math.round(seconds * RATE) }, (_, n) => wave(n / RATE));

export const sine =
  (hz: number, volts = 5) =>
  (t: number): number =>
    volts * Math.sin(2 * Math.PI * hz * t);

export interface DrawingParts extends Partial<Omit<Drawing, 'scope'>> {
  readonly scope?: Partial<ScopeState>;
  /** What is on the screen; left out: all of the first signal. */
  readonly start?: number;
  readonly span?: number;
}

/** A drawing of a take that holds just these signals, with what was drawn. */
export function probeDrawing(signals: readonly ProbeSignal[], parts: DrawingParts = {}): Drawing & { readonly seen: RecordingCanvas } {
  const { scope = {}, start = 0, span = (signals[0]?.samples?.length ?? RATE) / RATE, ...own } = parts;
  const seen = recordingCanvas();
  const lanes = signals.map(({ name, kind }) => lane(name, kind));
  const windows = signals.map(({ samples }): Window | undefined =>
    samples ? { samples, rate: RATE, from: start * RATE, before: undefined, startFrame: 0 } : undefined,
  );
  return {
    ...SIZE,
    context: seen.context,
    seen,
    paint,
    lanes,
    windows,
    axis: { start, span },
    pointer: undefined,
    pointerY: undefined,
    scope: { ...createScope(span).getState(), start, span, ...scope },
    beats: undefined,
    live: false,
    calm: false,
    probes: lanes.map((one, i) => ({ lane: one, window: windows[i] })),
    again: () => undefined,
    readPiece: () => undefined,
    ...own,
  };
}
