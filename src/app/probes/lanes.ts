/** What each lane shows: where its samples come from and how they lie on the time axis. */

import { findLastEdge } from '../../measure/trigger.ts';
import type { SignalKind } from '../../patch/blockSpec.ts';
import type { Recorder } from './recorder.ts';
import type { ScopeState } from './scopeStore.ts';

export interface Lane {
  /** "block.port" */
  readonly name: string;
  readonly title: string;
  /** The output's title in small letters, '' where the block has only one. */
  readonly port: string;
  readonly kind: SignalKind;
  readonly recorder: Recorder;
}

/** Least and greatest volts of each stretch of `frames` frames, over a whole take. */
export interface Peaks {
  readonly least: Float32Array;
  readonly greatest: Float32Array;
  readonly frames: number;
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

function takeWindows(lanes: readonly Lane[], scope: ScopeState): { windows: (Window | undefined)[]; axis: TimeAxis } {
  const windows = lanes.map(({ recorder }): Window | undefined => {
    if (!recorder.recorded) return undefined;
    const { samples, rate } = recorder.recorded;
    const before = recorder.before?.rate === rate ? recorder.before.samples : undefined;
    return { samples, rate, from: scope.start * rate, before, startFrame: 0 };
  });
  return { windows, axis: { start: scope.start, span: scope.span } };
}

export function windowsOf(lanes: readonly Lane[], scope: ScopeState, live: boolean): { windows: (Window | undefined)[]; axis: TimeAxis } {
  return live ? liveWindows(lanes, scope) : takeWindows(lanes, scope);
}
