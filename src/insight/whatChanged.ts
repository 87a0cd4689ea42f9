/** What an edit changed in the sound, in figures and sentences: the take after it beside the take before it. */
import { toDb } from '../measure/levels.ts';
import type { SoundFigures } from '../measure/soundFigures.ts';

export interface ComparedSound {
  readonly channels: readonly Float32Array[];
  readonly figures: SoundFigures;
}

/** One line of the table. */
export interface ChangedFigure {
  readonly id: 'rms' | 'peak' | 'loudness' | 'brightness' | 'pitch' | 'notes';
  readonly title: string;
  readonly before: string;
  readonly after: string;
  /** "+3.2 dB"; '' where the two cannot be compared. */
  readonly by: string;
  /** Large enough to be told in a sentence. */
  readonly notable: boolean;
}

export interface WhatChanged {
  readonly figures: readonly ChangedFigure[];
  /** At least one sentence. */
  readonly say: readonly string[];
}

/**
 * From here on a change is told (our choice; level differences of about 1 dB and pitch differences of about 5 cents are the least that
 * are commonly heard side by side).
 */
const LEAST = { db: 0.5, brightness: 0.05, cents: 5 } as const;
/** Peaks that move with the level to within this are not told beside it (our choice). */
const PEAKS_ALONG_DB = 3;
/** Where the two takes differ nowhere by more than this, nothing audible changed: below the steps of 16 bits. */
const INAUDIBLE_DB = -90;

export function whatChanged(before: ComparedSound, after: ComparedSound): WhatChanged {
  const [b, a] = [before.figures, after.figures];
  const figures = [
    level('rms', 'Level (RMS)', 'dBFS', toDb(b.rms), toDb(a.rms)),
    level('peak', 'Peak', 'dBFS', toDb(b.peak), toDb(a.peak)),
    level('loudness', 'Loudness', 'LUFS', b.loudness, a.loudness),
    frequency('brightness', 'Brightness', b.brightness, a.brightness),
    frequency('pitch', 'Pitch', b.pitch, a.pitch),
    counted(b.notes, a.notes),
  ];
  return { figures, say: sentences(before, after, figures) };
}

function sentences(before: ComparedSound, after: ComparedSound, figures: readonly ChangedFigure[]): string[] {
  const [b, a] = [before.figures, after.figures];
  const length = Math.abs(a.seconds - b.seconds) > 1e-6 ? [`The take lasts ${plain(a.seconds)} s instead of ${plain(b.seconds)} s.`] : [];
  if (a.peak === 0 && b.peak === 0) return [...length, 'Both takes are silent.'];
  if (a.peak === 0) return [...length, 'Silent: before, there was sound.'];
  if (b.peak === 0) return [...length, 'There is sound now: before, it was silent.'];
  if (length.length === 0 && differenceDb(before.channels, after.channels) < INAUDIBLE_DB) return ['Nothing audible changed.'];
  const told = new Set(figures.flatMap(({ id, notable }) => (notable ? [id] : [])));
  // Loudness says what the level says, weighted as the ear does, and peaks go along with both: once is enough.
  if (told.has('loudness')) told.delete('rms');
  const along = Math.abs(toDb(a.peak / b.peak) - toDb(a.rms / b.rms)) < PEAKS_ALONG_DB;
  if (along && (told.has('loudness') || told.has('rms'))) told.delete('peak');
  const kept = figures.flatMap((figure) => (told.has(figure.id) ? [sentence(figure, b, a)] : []));
  if (kept.length > 0) return [...length, ...kept];
  const otherwise = 'The sound differs, but not in level, brightness, pitch, loudness or number of notes.';
  return length.length > 0 ? length : [otherwise];
}

function sentence(figure: ChangedFigure, b: SoundFigures, a: SoundFigures): string {
  const { id, before, after, by } = figure;
  const fromTo = `${before} before, ${after} now`;
  switch (id) {
    case 'loudness':
      return by === '' ? `Loudness: ${fromTo}.` : `${by.startsWith('+') ? 'Louder' : 'Softer'} by ${unsigned(by)} (${fromTo}).`;
    case 'rms':
      return `${a.rms > b.rms ? 'Higher' : 'Lower'} level by ${unsigned(by)} (${fromTo}).`;
    case 'peak':
      return `${a.peak > b.peak ? 'Higher' : 'Lower'} peaks by ${unsigned(by)} (${fromTo}).`;
    case 'brightness':
      return `${(a.brightness ?? 0) > (b.brightness ?? 0) ? 'Brighter' : 'Darker'} by ${unsigned(by)} (${fromTo}).`;
    case 'pitch':
      if (a.pitch === undefined) return `There is no clear pitch any more (${before} before).`;
      if (b.pitch === undefined) return `There is a clear pitch now: ${after}.`;
      return `${a.pitch > b.pitch ? 'Higher' : 'Lower'} in pitch by ${unsigned(by)} (${fromTo}).`;
    case 'notes':
      return `${a.notes > b.notes ? 'More' : 'Fewer'} notes: ${after} instead of ${before}.`;
  }
}

function level(
  id: 'rms' | 'peak' | 'loudness',
  title: string,
  unit: string,
  before: number | undefined,
  after: number | undefined,
): ChangedFigure {
  const text = (value: number | undefined): string =>
    value === undefined ? 'too short' : value === Number.NEGATIVE_INFINITY ? 'silent' : `${value.toFixed(1)} ${unit}`;
  const by = after !== undefined && before !== undefined ? after - before : Number.NaN;
  const known = Number.isFinite(by);
  return {
    id,
    title,
    before: text(before),
    after: text(after),
    by: known ? signed(by, 1, unit === 'LUFS' ? 'LU' : 'dB') : '',
    notable: known ? Math.abs(by) >= LEAST.db : text(before) !== text(after),
  };
}

function frequency(id: 'brightness' | 'pitch', title: string, before: number | undefined, after: number | undefined): ChangedFigure {
  const both = before !== undefined && after !== undefined;
  const cents = both ? 1200 * Math.log2(after / before) : Number.NaN;
  const share = both ? after / before - 1 : Number.NaN;
  const by = !both ? '' : id === 'brightness' ? signed(100 * share, 0, '%') : interval(cents);
  const text = (hz: number | undefined): string => (hz === undefined ? 'none' : hertz(hz));
  const moved = id === 'brightness' ? Math.abs(share) >= LEAST.brightness : Math.abs(cents) >= LEAST.cents;
  const appeared = id === 'pitch' && (before === undefined) !== (after === undefined);
  return { id, title, before: text(before), after: text(after), by, notable: both ? moved : appeared };
}

function counted(before: number, after: number): ChangedFigure {
  const by = before === after ? '0' : signed(after - before, 0, '');
  return { id: 'notes', title: 'Notes', before: String(before), after: String(after), by, notable: before !== after };
}

/** The largest difference of two takes anywhere, in dBFS. */
function differenceDb(before: readonly Float32Array[], after: readonly Float32Array[]): number {
  let most = 0;
  for (const [i, samples] of after.entries()) {
    const other = before[i];
    for (let n = 0; n < samples.length; n++) most = Math.max(most, Math.abs((samples[n] as number) - (other?.[n] ?? 0)));
  }
  return toDb(most);
}

function interval(cents: number): string {
  if (Math.abs(cents) < 100) return signed(cents, 0, 'cents');
  const semitones = cents / 100;
  const whole = Math.abs(semitones - Math.round(semitones)) < 0.05;
  if (whole && Math.round(semitones) % 12 === 0) {
    const octaves = Math.round(semitones) / 12;
    return signed(octaves, 0, Math.abs(octaves) === 1 ? 'octave' : 'octaves');
  }
  return signed(semitones, whole ? 0 : 1, Math.abs(semitones) < 1.05 ? 'semitone' : 'semitones');
}

function hertz(hz: number): string {
  return hz >= 1000 ? `${(hz / 1000).toFixed(2)} kHz` : `${hz.toFixed(hz < 100 ? 1 : 0)} Hz`;
}

function signed(value: number, digits: number, unit: string): string {
  const text = Math.abs(value).toFixed(digits);
  const zero = Number(text) === 0;
  return `${zero ? '' : value > 0 ? '+' : '-'}${text}${unit === '' ? '' : ` ${unit}`}`;
}

function unsigned(by: string): string {
  return by.replace(/^[+-]/, '');
}

function plain(value: number): string {
  return String(Number(value.toPrecision(3)));
}

/** By how much each of two takes is turned down, in dB (0 or less), so that both are equally loud. The softer one stays as it is. */
export interface LoudnessMatch {
  readonly before: number;
  readonly after: number;
  readonly say: string;
}

/** Of two integrated loudnesses in LUFS; undefined where there was too little sound to measure. */
export function matchLoudness(b: number | undefined, a: number | undefined): LoudnessMatch {
  if (b === undefined || a === undefined) {
    return { before: 0, after: 0, say: 'The take is too short for its loudness to be measured: both are heard as they are.' };
  }
  if (!Number.isFinite(b) || !Number.isFinite(a))
    return { before: 0, after: 0, say: 'One of the two is silent: both are heard as they are.' };
  const by = Math.abs(a - b);
  if (by < 0.05) return { before: 0, after: 0, say: 'Both are equally loud as they are.' };
  const turned = a > b ? 'after' : 'before';
  return {
    before: turned === 'before' ? -by : 0,
    after: turned === 'after' ? -by : 0,
    say: `Equal loudness: "${turned === 'after' ? 'After' : 'Before'}" is turned down by ${by.toFixed(1)} dB.`,
  };
}
