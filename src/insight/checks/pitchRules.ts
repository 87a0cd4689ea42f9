/** Out of tune, and tones that fold back at the sample rate. */

import { foldbacks } from './foldback.ts';
import type { HeardPatch } from './heardPatch.ts';
import { outputName, plain } from './look.ts';
import type { Found, TakeRule } from './rule.ts';
import { tunedPlaces, type Voice, voicesOf } from './tuning.ts';

/** Cents. Two tones of 5 cents are told apart one after the other; twice that is named (our choice). */
const OFF_CENTS = 10;
/** Notes that agree less than this in how far they are from a scale, and so many of them, lie on none (our choice). */
const TOGETHER = 0.6;
const MANY_NOTES = 4;
/** Foldback from here on, relative to the sound, in dB (our choice). */
const FOLDED_DB = -30;

export const pitchRules: readonly TakeRule[] = [
  {
    id: 'off-pitch',
    severity: 'hint',
    kind: 'take',
    about:
      'An oscillator that follows a pitch voltage and plays, measured, more than 10 cents beside equal temperament at A4 = 440 Hz (ISO 16). Our choice of figure.',
    howToFix: 'Set its tune to a note and its fine tuning to 0; leave it where the beating is wanted.',
    wants: tunedPlaces,
    check: (take) =>
      voicesOf(take)
        .filter((voice) => voice.follows && !isScattered(voice) && Math.abs(voice.cents) > OFF_CENTS)
        .map(({ known, cents }) => ({
          block: known.block.id,
          say: `${known.label} plays ${plain(Math.abs(cents))} cents ${cents > 0 ? 'above' : 'below'} the notes of equal temperament.`,
        })),
  },
  {
    id: 'off-scale',
    severity: 'hint',
    kind: 'take',
    about: 'An oscillator that follows a pitch voltage and whose notes, measured, lie on no row of semitones.',
    howToFix: 'Put a quantizer into the pitch; leave it where the voltage is meant to be free.',
    wants: tunedPlaces,
    check: (take) =>
      voicesOf(take)
        .filter((voice) => voice.follows && isScattered(voice))
        .map(({ known }) => ({
          block: known.block.id,
          say: `The notes of ${known.label} lie between the semitones: a quantizer in front of its pitch puts them on a scale.`,
        })),
  },
  {
    id: 'foldback',
    severity: 'hint',
    kind: 'take',
    about:
      'Overtones that fold back at the sample rate: measured as what is there at the quality of the take and not at quality 4, beyond -30 dB of the sound (our choice).',
    howToFix: 'Render the take at quality 2 or 4, or use less drive, folding or frequency modulation.',
    check: aliased,
  },
];

export function isScattered({ together, notes }: Voice): boolean {
  return together < TOGETHER && notes.length >= MANY_NOTES;
}

function aliased(take: HeardPatch): readonly Found[] {
  return foldbacks(take, FOLDED_DB).map(({ known, place, decibels }) => ({
    block: known.block.id,
    say: `Overtones of ${outputName(take.wired, place)} fold back at the sample rate, ${plain(-decibels)} dB below the sound: a take at quality 4 is cleaner.`,
  }));
}
