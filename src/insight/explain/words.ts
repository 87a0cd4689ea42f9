/** Numbers and lists as a teacher would say them. */

const counts = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten', 'eleven', 'twelve'] as const;

/** "three" up to twelve, then figures. */
export function countWord(count: number): string {
  return counts[count] ?? String(count);
}

/** "three filters", "one filter". */
export function counted(count: number, part: { readonly one: string; readonly many: string }): string {
  return `${countWord(count)} ${count === 1 ? part.one : part.many}`;
}

/** Names in a sentence: "A", "A and B", "A, B and C"; beyond `most`: "A, B and 5 more". */
export function list(names: readonly string[], most = 5): string {
  const shown = names.length > most ? [...names.slice(0, most - 1), `${names.length - most + 1} more`] : names;
  const last = shown.at(-1) ?? '';
  return shown.length < 2 ? last : `${shown.slice(0, -1).join(', ')} and ${last}`;
}

/** About three digits, without zeros at the end. */
export function short(value: number): string {
  return String(Number(value.toPrecision(3)));
}

/** "240 ms", "1.1 s", "2 min". */
export function secondsText(seconds: number): string {
  if (seconds < 0.9995) return `${short(seconds * 1000)} ms`;
  return seconds < 120 ? `${short(seconds)} s` : `${short(seconds / 60)} min`;
}

/** "440 Hz", "2.5 kHz"; slow ones by their period: "once in 14.3 s". */
export function hertzText(hertz: number): string {
  if (hertz >= 999.5) return `${short(hertz / 1000)} kHz`;
  return hertz >= 0.5 ? `${short(hertz)} Hz` : `once in ${secondsText(1 / hertz)}`;
}

/** How often something happens: "3.2 a second", "one in 1.4 s". */
export function oftenText(hertz: number): string {
  return hertz >= 1 ? `${short(hertz)} a second` : `one in ${secondsText(1 / hertz)}`;
}

export function percent(share: number): string {
  return `${Math.round(100 * share)} %`;
}

/** A distance of pitch: "1.8 octaves", "5 semitones", "24 cents". */
export function octavesText(octaves: number): string {
  const semitones = 12 * octaves;
  if (semitones >= 11.95) return Math.abs(octaves - 1) < 0.01 ? 'an octave' : `${short(octaves)} octaves`;
  if (semitones >= 0.995) return Math.abs(semitones - 1) < 0.01 ? 'a semitone' : `${Number(semitones.toFixed(1))} semitones`;
  return `${Math.max(1, Math.round(100 * semitones))} cents`;
}

/** Names of the intervals within an octave, twelve equal steps. */
const intervals = [
  'at the same pitch as',
  'a semitone',
  'a whole tone',
  'a minor third',
  'a major third',
  'a fourth',
  'a tritone',
  'a fifth',
  'a minor sixth',
  'a major sixth',
  'a minor seventh',
  'a major seventh',
] as const;
/** What is further from a tempered interval than this is none, in cents (our choice). */
const MOST_CENTS = 20;

/** Completes "NAME, ... OTHER" for a tone that is so many times as fast as the other: "a fifth above", "an octave above, 5 cents sharp,". */
export function intervalText(ratio: number, other: string): string {
  const cents = 1200 * Math.log2(ratio);
  const semitones = Math.round(cents / 100);
  const off = Math.round(cents - 100 * semitones);
  if (semitones < 0 || Math.abs(off) > MOST_CENTS || semitones > 36) return `at ${short(ratio)} times the frequency of ${other}`;
  const rest = off === 0 ? '' : `, ${Math.abs(off)} cents ${off > 0 ? 'sharp' : 'flat'}`;
  if (semitones === 0) {
    return off === 0 ? `at the same pitch as ${other}` : `${Math.abs(off)} cents ${off > 0 ? 'above' : 'below'} ${other}`;
  }
  const octaves = Math.floor(semitones / 12);
  const within = semitones % 12;
  const whole = octaves === 0 ? '' : octaves === 1 ? 'an octave' : `${countWord(octaves)} octaves`;
  const part = within === 0 ? '' : (intervals[within] ?? '');
  return `${[whole, part].filter(Boolean).join(' and ')} above ${other}${rest}`;
}

/** The word for a kind of block, without the brackets some have: "amplifier". */
export function partWord({ part }: { readonly part: { readonly one: string; readonly many: string } }, count = 1): string {
  return (count === 1 ? part.one : part.many).replace(/\s*\(.*\)$/, '');
}

/** A label as it stands in a sentence: on one line. */
export function plainLabel(label: string): string {
  return label.replaceAll(/[\s\p{Cc}]+/gu, ' ').trim() || '(no name)';
}
