/** What each lane shows: where its samples come from and how they lie on the time axis. */

import type { FrameRange } from '../../engine/hosts/take.ts';
import { findLastEdge } from '../../measure/trigger.ts';
import type { SignalKind } from '../../patch/blockSpec.ts';
import type { Peaks, TakeStretch } from '../listen/probeHub.ts';
import { rangeToKeep, visibleRange } from '../listen/takeWindows.ts';
import type { Recorder, Recording } from './recorder.ts';
import type { ScopeState } from './scopeStore.ts';

export interface Lane {
  /** "block.port" */
  readonly name: string;
  readonly title: string;
  /** The output's title in small letters, '' where the block has only one. */
  readonly port: string;
  readonly kind: SignalKind;
  readonly recorder: Recorder;
  /** Of an output without a probe: what the take says of it all the same. */
  readonly coarse?: (Peaks & { readonly rate: number }) | undefined;
}

export function laneName({ title, port }: Lane): string {
  return port === '' ? title : `${title}, ${port}`;
}

/**
 * What there is of a lane for the screen. Of a take only the visible window is kept in full: `samples` covers it, or is empty
 * while it is being rendered or is too long to be kept; then `peaks` are drawn.
 */
export interface Window {
  readonly samples: Float32Array;
  readonly rate: number;
  /** The (fractional) frame of `samples` at the left edge of the screen. */
  readonly from: number;
  /** The same frames of the take before the last edit, where they are there. */
  readonly before: Float32Array | undefined;
  /** Number of the first of `samples`, counted from the start of the take or of the sound. */
  readonly startFrame: number;
  /** Of the whole take; never while it sounds live. */
  readonly peaks?: Peaks | undefined;
  readonly beforePeaks?: Peaks | undefined;
  /** No samples are there, but they are on their way: the visible stretch is not too long to be kept. */
  readonly coming?: boolean;
}

export interface TimeAxis {
  /** Second at the left edge. */
  readonly start: number;
  readonly span: number;
}

const TRIGGER_REACH = 0.25;

/** The newest stretch of live sound, from the last trigger edge where one is set. */
function liveWindows(lanes: readonly Lane[], scope: ScopeState): { windows: (Window | undefined)[]; axis: TimeAxis } {
  const lead = lanes.find((lane) => lane.name === scope.trigger) ?? lanes[0];
  const history = lead?.recorder.history;
  const rate = lead?.recorder.rate ?? 48000;
  if (!lead || !history) return { windows: lanes.map(() => undefined), axis: { start: 0, span: scope.span } };
  const frames = Math.ceil(scope.span * rate);
  const end = Math.min(...lanes.map((lane) => lane.recorder.history?.end ?? history.end));
  const reach = Math.ceil(TRIGGER_REACH * rate);
  // Until the screen is full, the sound writes from the left edge on.
  let first = Math.max(0, end - frames);
  if (scope.trigger !== undefined) {
    const seen = new Float32Array(frames + reach);
    history.copy(end - seen.length, seen);
    const edge = findLastEdge(seen, { level: scope.triggerVolts, hysteresis: 0.05, edge: 'rising' }, frames, reach);
    if (edge !== undefined) first = end - seen.length + edge;
  }
  const whole = Math.floor(first);
  const windows = lanes.map(({ recorder }): Window | undefined => {
    if (!recorder.history) return undefined;
    const samples = new Float32Array(frames + 2);
    recorder.history.copy(whole, samples);
    return { samples, rate: recorder.rate, from: first - whole, before: undefined, startFrame: whole };
  });
  return { windows, axis: { start: scope.trigger === undefined ? first / rate : 0, span: scope.span } };
}

const NOTHING = new Float32Array(0);

/** The visible stretch of the take: every frame where they are there, else peaks. */
function takeWindows(lanes: readonly Lane[], scope: ScopeState): { windows: (Window | undefined)[]; axis: TimeAxis } {
  const windows = lanes.map(({ recorder }): Window | undefined => {
    const { recorded, before } = recorder;
    if (!recorded) return undefined;
    const { rate, frames } = recorded;
    const visible = visibleRange(scope, rate, frames);
    const now = reaches(recorded.window, visible, frames);
    const last = before?.rate === rate ? before : undefined;
    const startFrame = now?.from ?? 0;
    return {
      samples: now?.samples ?? NOTHING,
      rate,
      from: scope.start * rate - startFrame,
      before: now && last && framesOf(last, now),
      startFrame,
      peaks: recorded.peaks,
      beforePeaks: last?.peaks,
      coming: !now && rangeToKeep({ ...scope, everyFrame: true }, rate, frames, lanes.length) !== undefined,
    };
  });
  return { windows, axis: { start: scope.start, span: scope.span } };
}

/** The stretch, where it holds all that is visible of a take of `length` frames. */
function reaches(stretch: TakeStretch | undefined, { from, frames }: FrameRange, length: number): TakeStretch | undefined {
  const end = Math.min(length, from + frames);
  return stretch && stretch.from <= Math.min(length, from) && stretch.from + stretch.samples.length >= end ? stretch : undefined;
}

/** The frames of `like` from another take; NaN where they are not there, undefined where none is. */
function framesOf({ window }: Recording, like: TakeStretch): Float32Array | undefined {
  if (!window) return undefined;
  const shift = window.from - like.from;
  if (shift === 0 && window.samples.length >= like.samples.length) return window.samples.subarray(0, like.samples.length);
  const from = Math.max(0, -shift);
  const to = Math.min(window.samples.length, like.samples.length - shift);
  if (to <= from) return undefined;
  const out = new Float32Array(like.samples.length).fill(Number.NaN);
  out.set(window.samples.subarray(from, to), from + shift);
  return out;
}

export function windowsOf(lanes: readonly Lane[], scope: ScopeState, live: boolean): { windows: (Window | undefined)[]; axis: TimeAxis } {
  return live ? liveWindows(lanes, scope) : takeWindows(lanes, scope);
}
