/**
 * Of a take only peaks are kept, and every frame of what is looked at. This decides which frames those are: what is visible and some
 * of what lies beside it, so that moving on does not wait for the engine.
 */

import type { FrameRange } from '../../engine/hosts/take.ts';
import type { TakeDone, Takes } from '../../engine/hosts/takes.ts';
import type { RecordedPeaks, RecordedWindow } from '../../engine/protocol.ts';
import { type Place, placeName } from '../../patch/document.ts';
import type { Peaks, ProbeHub, ProbeTake } from './probeHub.ts';
import type { TakeStep } from './takeSteps.ts';

/** Most bytes of frames kept of one take; a longer stretch is shown by its peaks. */
export const WINDOW_BYTES = 10e6;
/** The same where peaks will not do: 12 s of six outputs, a minute of one. */
export const EVERY_FRAME_BYTES = 14e6;
/** Beside the visible frames, as a share of them and at least. */
const BESIDE = 0.5;
const LEAST_BESIDE = 4096;
const MUCH_LONGER = 4;

/** What is visible, in seconds of the take. */
export interface Look {
  readonly start: number;
  readonly span: number;
  /** Peaks will not do (spectra, notes): more frames are kept. */
  readonly everyFrame?: boolean;
}

/** The visible frames and one on each side, within a take of `length` frames. */
export function visibleRange({ start, span }: Look, rate: number, length: number): FrameRange {
  const from = Math.max(0, Math.min(length, Math.floor(start * rate) - 1));
  return { from, frames: Math.max(0, Math.min(length, Math.ceil((start + span) * rate) + 2) - from) };
}

/** The frames to keep of `outputs` outputs for a look at a take of `length` frames; undefined where the visible ones alone are too many. */
export function rangeToKeep(look: Look, rate: number, length: number, outputs: number): FrameRange | undefined {
  const visible = visibleRange(look, rate, length);
  const most = Math.floor((look.everyFrame ? EVERY_FRAME_BYTES : WINDOW_BYTES) / 4 / Math.max(1, outputs));
  if (visible.frames > most) return undefined;
  const beside = Math.floor(Math.min(Math.max(BESIDE * visible.frames, LEAST_BESIDE), (most - visible.frames) / 2));
  const from = Math.max(0, visible.from - beside);
  return { from, frames: Math.min(length, visible.from + visible.frames + beside) - from };
}

const covers = (kept: FrameRange | undefined, wanted: FrameRange): boolean =>
  kept !== undefined && kept.from <= wanted.from && kept.from + kept.frames >= wanted.from + wanted.frames;

/** Peaks side by side, as they are drawn. */
export function peaksOf({ pairs, peakFrames }: RecordedPeaks): Peaks {
  const count = pairs.length / 2;
  const [least, greatest] = [new Float32Array(count), new Float32Array(count)];
  for (let i = 0; i < count; i++) {
    least[i] = pairs[2 * i] as number;
    greatest[i] = pairs[2 * i + 1] as number;
  }
  return { least, greatest, frames: peakFrames };
}

/** What a scope is told of one output of a take. */
export function probeTakeOf(take: TakeDone, tap: RecordedPeaks, window: RecordedWindow | undefined, step: TakeStep): ProbeTake {
  const samples = window?.taps.find(({ at }) => placeName(at) === placeName(tap.at))?.samples;
  return {
    rate: take.rate,
    frames: take.frames,
    peaks: peaksOf(tap),
    window: samples && window && { from: window.from, samples },
    step,
  };
}

export interface TakeWindows {
  /** What is visible; undefined while nobody looks. Frames that are not there are asked for. */
  look(at: Look | undefined): void;
  /** What a take that is asked for should bring along; `outputs` are what it records in full. */
  rangeOf(rate: number, length: number, outputs: readonly Place[]): FrameRange | undefined;
  /** A take has come, and with it the one before the last edit. */
  came(take: TakeDone, window: FrameRange | undefined, before: TakeDone | undefined, outputs: readonly Place[]): void;
  received(number: number, window: RecordedWindow): void;
  /** What was asked for will not come: asks once more. */
  again(): void;
  /** Another document: its takes are still to come. */
  clear(): void;
}

interface KnownTake {
  readonly number: number;
  readonly frames: number;
  readonly rate: number;
  kept: FrameRange | undefined;
}

export function createTakeWindows(takes: () => Partial<Pick<Takes, 'window'>> | undefined, probes: Pick<ProbeHub, 'window'>): TakeWindows {
  let at: Look | undefined;
  let now: KnownTake | undefined;
  let before: KnownTake | undefined;
  let outputs: readonly Place[] = [];
  /** What was asked for last; it has come, or is on its way. */
  let asked: FrameRange | undefined;

  const ensure = (): void => {
    if (!at || !now || outputs.length === 0) return;
    const visible = visibleRange(at, now.rate, now.frames);
    const missing = [now, before].flatMap((take) => (take && !covers(take.kept, within(visible, take.frames)) ? [take.number] : []));
    if (missing.length === 0) return;
    const range = rangeToKeep(at, now.rate, now.frames, outputs.length);
    // What is on its way is waited for, unless it is so long that one does better without.
    if (!range || (asked && covers(asked, visible) && asked.frames <= MUCH_LONGER * range.frames)) return;
    asked = range;
    takes()?.window?.({ ...range, takes: missing, outputs });
  };

  return {
    look(next) {
      at = next;
      ensure();
    },
    rangeOf: (rate, length, places) => at && rangeToKeep(at, rate, length, places.length),
    came(take, window, last, places) {
      // The take before the last edit is one that was looked at until now, or the same one as before.
      const known = [now, before].find((one) => one && one.number === last?.number);
      before =
        last && last.rate === take.rate
          ? (known ?? { number: last.number, frames: last.frames, rate: last.rate, kept: undefined })
          : undefined;
      now = { number: take.number, frames: take.frames, rate: take.rate, kept: window };
      outputs = places;
      asked = undefined;
      ensure();
    },
    received(number, window) {
      const take = [now, before].find((one) => one?.number === number);
      if (!take) return;
      take.kept = { from: window.from, frames: window.frames };
      for (const { at: place, samples } of window.taps)
        probes.window(place, take === now ? 'now' : 'before', { from: window.from, samples });
    },
    again() {
      asked = undefined;
      ensure();
    },
    clear() {
      now = undefined;
      before = undefined;
      asked = undefined;
    },
  };
}

function within(range: FrameRange, length: number): FrameRange {
  const from = Math.min(range.from, length);
  return { from, frames: Math.min(length, range.from + range.frames) - from };
}
