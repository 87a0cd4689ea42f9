/** Which notes an oscillator plays, measured. */
import type { Place } from '../../patch/document.ts';
import { type KnownBlock, sourceOf, type Wired } from '../wired.ts';
import type { HeardPatch } from './heardPatch.ts';
import { blocksOf, blocksOnSoundPath } from './look.ts';

/** A4 = 440 Hz (ISO 16). */
const A4 = 440;
/** A period that differs from the mean of its note by more begins another one: half a semitone. */
const OTHER_NOTE = 0.03;
/** A note is steady whose periods differ by less; others count where they last for two turns of a vibrato, by their mean. */
const STEADY = 0.008;
const LEAST_SECONDS = 0.06;
const VIBRATO_SECONDS = 0.35;
const LEAST_PERIODS = 4;
/** At most so many oscillators are measured. */
const MOST_VOICES = 16;

/** A stretch of steady pitch. */
export interface Note {
  readonly hertz: number;
  readonly seconds: number;
}

export interface Voice {
  readonly known: KnownBlock;
  /** Is its pitch given by a cable? */
  readonly follows: boolean;
  readonly notes: readonly Note[];
  /** Cents above the nearest note of equal temperament, -50..50: the mean of all notes, weighed by their length. */
  readonly cents: number;
  /** How alike the notes are in that: 1 where all are as far from equal temperament, near 0 where they lie anywhere. */
  readonly together: number;
}

/** Those that are heard themselves, not those that only move something. */
function tunedBlocks(wired: Wired): KnownBlock[] {
  const heard = blocksOnSoundPath(wired);
  return blocksOf(wired)
    .filter(({ block, spec }) => spec.tuned && heard.has(block.id))
    .slice(0, MOST_VOICES);
}

export function tunedPlaces(wired: Wired): Place[] {
  return tunedBlocks(wired).map(({ block, spec }) => [block.id, spec.tuned?.output ?? '']);
}

/** The oscillators that play steady notes for at least a tenth of a second in all. */
export function voicesOf(take: HeardPatch): readonly Voice[] {
  const known = measured.get(take) ?? measure(take);
  measured.set(take, known);
  return known;
}

const measured = new WeakMap<HeardPatch, readonly Voice[]>();

function measure(take: HeardPatch): readonly Voice[] {
  return tunedBlocks(take.wired).flatMap((known) => {
    const samples = take.samples([known.block.id, known.spec.tuned?.output ?? '']);
    const notes = samples ? notesOf(samples, take.heard.rate) : [];
    const seconds = notes.reduce((sum, note) => sum + note.seconds, 0);
    if (seconds < 0.1) return [];
    const { cents, together } = gathered(notes);
    const follows = known.spec.inputs.some(
      (input) => input.kind === 'pitch' && sourceOf(take.wired, known.block.id, input.id) !== undefined,
    );
    return [{ known, follows, notes, cents, together }];
  });
}

/** Notes of a wave that rises through 0 V once in each period. */
export function notesOf(samples: Float32Array, rate: number): Note[] {
  const notes: Note[] = [];
  let [start, last] = [Number.NaN, Number.NaN];
  let [mean, shortest, longest, periods] = [0, 0, 0, 0];
  const close = (): void => {
    const seconds = (last - start) / rate;
    const least = longest - shortest < STEADY * mean ? LEAST_SECONDS : VIBRATO_SECONDS;
    if (periods >= LEAST_PERIODS && seconds >= least) notes.push({ hertz: periods / seconds, seconds });
  };
  for (let i = 1; i < samples.length; i++) {
    const a = samples[i - 1] as number;
    const b = samples[i] as number;
    if (a >= 0 || b < 0) continue;
    const at = i - 1 + a / (a - b);
    const now = at - last;
    if (Math.abs(now / mean - 1) < OTHER_NOTE) {
      periods++;
      mean = (at - start) / periods;
      shortest = Math.min(shortest, now);
      longest = Math.max(longest, now);
    } else {
      close();
      start = last;
      [mean, shortest, longest, periods] = [now, now, now, 1];
    }
    last = at;
  }
  close();
  return notes;
}

/** Cents above the nearest note of equal temperament, -50..50. */
export function centsOff(hertz: number): number {
  const cents = 1200 * Math.log2(hertz / A4);
  return cents - 100 * Math.round(cents / 100);
}

/** Mean and concentration on the circle of 100 cents, so that -49 and 49 are neighbours (length and angle of the mean vector). */
export function gathered(notes: readonly Note[]): { readonly cents: number; readonly together: number } {
  let [x, y, whole] = [0, 0, 0];
  for (const { hertz, seconds } of notes) {
    const angle = (2 * Math.PI * centsOff(hertz)) / 100;
    x += seconds * Math.cos(angle);
    y += seconds * Math.sin(angle);
    whole += seconds;
  }
  return { cents: (100 * Math.atan2(y, x)) / (2 * Math.PI), together: whole > 0 ? Math.hypot(x, y) / whole : 1 };
}
