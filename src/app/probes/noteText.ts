/** Pitches in words for the read-outs. Pure. */
import { noteHertz, noteName, voltsNote } from '../../patch/values/notes.ts';

/** 440.12 Hz, 2.5 kHz: four digits that count. */
export function hertzText(hz: number): string {
  if (hz >= 9999.5) return `${(hz / 1000).toFixed(2)} kHz`;
  return `${hz.toFixed(hz >= 999.95 ? 0 : hz >= 99.995 ? 1 : 2)} Hz`;
}

/** Whole cents with their sign; "+0 ct" where there are none. */
export function centsText(cents: number): string {
  const whole = Math.round(cents);
  return `${whole < 0 ? '-' : '+'}${Math.abs(whole)} ct`;
}

export interface NamedNote {
  /** Letter and octave: "A4". */
  readonly name: string;
  readonly cents: number;
}

/** The nearest note of equal temperament (A4 = 440 Hz, ISO 16) and what is left. */
export function namedNote(number: number): NamedNote {
  const nearest = Math.round(number);
  return { name: noteName(nearest), cents: 100 * (number - nearest) };
}

export function hertzNote(hz: number): number {
  return 69 + 12 * Math.log2(hz / 440);
}

/** "440.0 Hz  A4 +0 ct" */
export function pitchText(hz: number): string {
  const { name, cents } = namedNote(hertzNote(hz));
  return `${hertzText(hz)} ${name} ${centsText(cents)}`;
}

export function voltsText(volts: number, digits = 2): string {
  const text = Math.abs(volts).toFixed(digits);
  return `${volts < 0 && Number(text) !== 0 ? '-' : ''}${text} V`;
}

/** "C#4 +12 ct", the cents left out where they are less than 3. */
export function voltsNoteText(volts: number): string {
  const { name, cents } = namedNote(voltsNote(volts));
  return Math.abs(cents) < 3 ? name : `${name} ${centsText(cents)}`;
}

/** The C of each octave within from..to Hz, with its place. */
export function octavesBetween(from: number, to: number): readonly { readonly name: string; readonly hz: number }[] {
  const first = Math.ceil((hertzNote(from) - 1e-6) / 12);
  const last = Math.floor((hertzNote(to) + 1e-6) / 12);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => {
    const number = 12 * (first + i);
    return { name: noteName(number), hz: noteHertz(number) };
  });
}

export const voltsHertz = (volts: number): number => noteHertz(voltsNote(volts));
