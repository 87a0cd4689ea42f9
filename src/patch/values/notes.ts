/**
 * Names of notes. Twelve equal steps to the octave, A4 = 440 Hz (ISO 16:1975), octaves counted so that C4 is middle C
 * (scientific pitch notation) and 0 V of pitch; note number 60 is C4 (MIDI 1.0).
 */

const names = ['C', 'C#', 'D', 'D#', 'E', 'F', 'F#', 'G', 'G#', 'A', 'A#', 'B'] as const;
const naturals: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };

/** Note number of 0 V. */
const ZERO_VOLTS = 60;
const A4 = 69;

/** The note number that a name like "A4", "C#3" or "Bb-1" means; undefined if it is none. May be any whole number. */
export function noteNumber(name: string): number | undefined {
  const [, letter = '', signs = '', octave] = /^([A-Ga-g])((?:#|♯|b|♭){0,2})(-?\d{1,2})$/.exec(name) ?? [];
  const natural = naturals[letter.toUpperCase()];
  if (natural === undefined || octave === undefined) return undefined;
  const shift = [...signs].reduce((sum, sign) => sum + (sign === '#' || sign === '♯' ? 1 : -1), 0);
  return 12 * (Number(octave) + 1) + natural + shift;
}

/** The name of a whole note number: 69 is "A4". */
export function noteName(number: number): string {
  return `${names[((number % 12) + 12) % 12]}${Math.floor(number / 12) - 1}`;
}

/** Note number, whole or between notes, to hertz. */
export function noteHertz(number: number): number {
  return 440 * 2 ** ((number - A4) / 12);
}

/** Note number to volts at 1 V per octave. */
export function noteVolts(number: number): number {
  return (number - ZERO_VOLTS) / 12;
}

export function voltsNote(volts: number): number {
  return ZERO_VOLTS + 12 * volts;
}

/** The nearest note with what is left in cents, to a tenth: "A4", "A4 +12.5 ct". */
export function nearestNote(number: number): string {
  const nearest = Math.round(number);
  const cents = Math.round((number - nearest) * 1000) / 10;
  return cents === 0 ? noteName(nearest) : `${noteName(nearest)} ${cents > 0 ? '+' : ''}${cents} ct`;
}
