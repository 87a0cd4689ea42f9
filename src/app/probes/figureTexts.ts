/** The figures of a lane as text, worked out in steps so that the page stays quick. */

import {
  pitchAt,
  pitchFrames,
  pitchOfStretch,
  pitchPlaces,
  type StretchPitch,
  stretchLevels,
  stretchLoudness,
} from '../../measure/figures.ts';
import { FULL_SCALE_VOLTS, toDb, voltsToDbfs } from '../../measure/levels.ts';
import { type NoteEvent, noteEvents } from '../../measure/notes.ts';
import type { Pitch } from '../../measure/pitch.ts';
import { voltsNote } from '../../patch/values/notes.ts';
import type { Peaks } from '../listen/probeHub.ts';
import type { Lane, TimeAxis } from './lanes.ts';
import { centsText, hertzNote, hertzText, namedNote, voltsHertz, voltsText } from './noteText.ts';

export const figureColumns = ['pitch', 'note', 'cents', 'peak', 'rms', 'truePeak', 'mean', 'short', 'integrated'] as const;
export type FigureColumn = (typeof figureColumns)[number];
export type FigureTexts = Readonly<Record<FigureColumn, string>>;

/** Where there is nothing to say. */
export const NOTHING = '–';
/** Estimates over a stretch of a take. */
const PLACES = 24;

export const noFigures: FigureTexts = {
  pitch: NOTHING,
  note: NOTHING,
  cents: NOTHING,
  peak: NOTHING,
  rms: NOTHING,
  truePeak: NOTHING,
  mean: NOTHING,
  short: NOTHING,
  integrated: NOTHING,
};

/** Where only peaks are kept of so long a stretch: the highest of them, and how to see the rest. */
export function coarseFigures({ least, greatest, frames }: Peaks, rate: number, { start, span }: TimeAxis): FigureTexts {
  let peak = 0;
  const last = Math.min(least.length, Math.ceil(((start + span) * rate) / frames));
  for (let i = Math.max(0, Math.floor((start * rate) / frames)); i < last; i++)
    peak = Math.max(peak, Math.abs(least[i] as number), Math.abs(greatest[i] as number));
  return { ...noFigures, pitch: 'zoom in', peak: voltsText(peak) };
}

type PitchTexts = Pick<FigureTexts, 'pitch' | 'note' | 'cents'>;
type LevelTexts = Pick<FigureTexts, 'peak' | 'rms' | 'truePeak' | 'mean'>;
type LoudnessTexts = Pick<FigureTexts, 'short' | 'integrated'>;

export const lufsText = (value: number | undefined): string =>
  value === undefined ? 'too short' : Number.isFinite(value) ? `${value.toFixed(1)} LUFS` : 'silent';

const db = (value: number, unit: string): string => (Number.isFinite(value) ? `${value.toFixed(1)} ${unit}` : 'silent');

const noteTexts = (number: number): Pick<PitchTexts, 'note' | 'cents'> => {
  const { name, cents } = namedNote(number);
  return { note: name, cents: centsText(cents) };
};

export function pitchTexts(pitch: StretchPitch): PitchTexts {
  if (pitch.kind === 'none') return { pitch: 'no pitch', note: NOTHING, cents: NOTHING };
  if (pitch.kind === 'one') return { pitch: hertzText(pitch.hz), ...noteTexts(hertzNote(pitch.hz)) };
  const name = (hz: number): string => namedNote(hertzNote(hz)).name;
  return { pitch: 'several', note: `${name(pitch.lowest)} to ${name(pitch.highest)}`, cents: NOTHING };
}

/** Of a voltage that stands for a pitch. */
export function voltagePitchTexts(volts: number): PitchTexts {
  return { pitch: hertzText(voltsHertz(volts)), ...noteTexts(voltsNote(volts)) };
}

/** The note that is held for three quarters of the held time, else from where to where they go. */
export function melodyTexts(events: readonly NoteEvent[]): PitchTexts {
  const held = events.filter(({ kind }) => kind === 'held');
  if (held.length === 0) return { pitch: 'no note', note: NOTHING, cents: NOTHING };
  const longest = held.reduce((best, note) => (note.to - note.from > best.to - best.from ? note : best));
  const whole = held.reduce((sum, { from, to }) => sum + to - from, 0);
  const same = held.filter(({ volts }) => Math.abs(volts - longest.volts) < 1 / 24).reduce((sum, { from, to }) => sum + to - from, 0);
  if (same >= 0.75 * whole) return voltagePitchTexts(longest.volts);
  const all = held.map(({ volts }) => volts);
  const name = (volts: number): string => namedNote(voltsNote(volts)).name;
  return { pitch: 'several', note: `${name(Math.min(...all))} to ${name(Math.max(...all))}`, cents: NOTHING };
}

function levelTexts(lane: Lane, samples: Float32Array, from: number, to: number): LevelTexts {
  const { peak, rms, dc, truePeak } = stretchLevels(samples, from, to);
  const audio = lane.kind === 'audio';
  return {
    peak: audio ? `${voltsText(peak)}, ${db(voltsToDbfs(peak), 'dB')}` : voltsText(peak),
    rms: audio ? `${voltsText(rms)}, ${db(voltsToDbfs(rms), 'dB')}` : voltsText(rms),
    truePeak: audio ? db(voltsToDbfs(truePeak), 'dBTP') : NOTHING,
    mean: voltsText(dc),
  };
}

export interface LaneStretch {
  readonly lane: Lane;
  readonly samples: Float32Array;
  readonly rate: number;
  readonly from: number;
  readonly to: number;
  readonly live: boolean;
  /** Live: loudness as metered since the sound started. */
  readonly metered?: LoudnessTexts | undefined;
}

/** Figures of a lane; gives way between steps of some milliseconds. */
export function* laneFigures({ lane, samples, rate, from, to, live, metered }: LaneStretch): Generator<undefined, FigureTexts> {
  if (to <= from) return noFigures;
  let pitch: PitchTexts = { pitch: NOTHING, note: NOTHING, cents: NOTHING };
  if (lane.kind === 'audio') {
    const estimates: (Pitch | undefined)[] = [];
    for (const at of live ? [to - pitchFrames(rate)] : pitchPlaces(rate, from, to, PLACES)) {
      estimates.push(at >= 0 ? pitchAt(samples, rate, at) : undefined);
      yield;
    }
    pitch = pitchTexts(pitchOfStretch(estimates));
  } else if (lane.kind === 'pitch') {
    const last = samples[to - 1] as number;
    if (live) pitch = Number.isFinite(last) ? voltagePitchTexts(last) : pitch;
    else pitch = melodyTexts(noteEvents(samples, rate, { from, to }));
    yield;
  }
  const levels = levelTexts(lane, samples, from, to);
  yield;
  let loudness: LoudnessTexts = { short: NOTHING, integrated: NOTHING };
  if (lane.kind === 'audio') {
    if (metered) loudness = metered;
    else {
      const { loudest, integrated } = stretchLoudness([samples], rate, FULL_SCALE_VOLTS, from, to);
      loudness = { short: lufsText(loudest), integrated: lufsText(integrated) };
    }
  }
  return { ...pitch, ...levels, ...loudness };
}

/** Figures of what the output carries, full scale 1. */
export function* outputFigures(
  left: Float32Array,
  right: Float32Array,
  rate: number,
  from: number,
  to: number,
): Generator<undefined, FigureTexts> {
  if (to <= from) return noFigures;
  const [l, r] = [stretchLevels(left, from, to), stretchLevels(right, from, to)];
  yield;
  const { loudest, integrated } = stretchLoudness([left, right], rate, 1, from, to);
  return {
    ...noFigures,
    peak: db(toDb(Math.max(l.peak, r.peak)), 'dB'),
    rms: db(toDb(Math.sqrt((l.rms ** 2 + r.rms ** 2) / 2)), 'dB'),
    truePeak: db(toDb(Math.max(l.truePeak, r.truePeak)), 'dBTP'),
    short: lufsText(loudest),
    integrated: lufsText(integrated),
  };
}
