/** The figures of a stretch of signal, as a table beside the pictures shows them. */
import { levelsOf } from './levels.ts';
import { createLoudnessMeter } from './loudness.ts';
import { type Pitch, pitchOf } from './pitch.ts';
import { truePeakOf } from './truePeak.ts';

/** In the unit of the samples. */
export interface StretchLevels {
  readonly peak: number;
  readonly rms: number;
  readonly dc: number;
  readonly truePeak: number;
}

/** Levels of frames from..to-1; samples that are not there count as 0. */
export function stretchLevels(samples: Float32Array, from: number, to: number): StretchLevels {
  const part = samples.subarray(from, to);
  const whole = part.every(Number.isFinite) ? part : part.map((value) => (Number.isFinite(value) ? value : 0));
  const { peak, rms, dc } = levelsOf(whole);
  return { peak, rms, dc, truePeak: truePeakOf(whole) };
}

/** LUFS; undefined where the stretch is too short, -Infinity where it is silent. */
export interface StretchLoudness {
  /** The loudest 3 s (short-term, EBU Tech 3341: Max S). */
  readonly loudest: number | undefined;
  /** All of it, gated (ITU-R BS.1770). */
  readonly integrated: number | undefined;
}

/** Loudness of frames from..to-1 of one or two channels; `fullScale` is the value that counts as digital full scale. */
export function stretchLoudness(
  channels: readonly Float32Array[],
  rate: number,
  fullScale: number,
  from: number,
  to: number,
): StretchLoudness {
  const meter = createLoudnessMeter(rate, channels.length);
  meter.push(channels.map((channel) => scaled(channel.subarray(from, to), fullScale)));
  return { loudest: meter.highestShortTerm(), integrated: meter.integrated() };
}

/** Parts of full scale, silent where samples are not there. */
export function scaled(samples: Float32Array, fullScale: number): Float32Array {
  return samples.map((value) => (Number.isFinite(value) ? value / fullScale : 0));
}

/** Frames for one estimate, 85 ms: two periods of the lowest pitch that is looked for and some more. */
export const pitchFrames = (rate: number): number => Math.round(0.0853 * rate);

/** Where estimates of a stretch are taken: first frames, evenly spread, at most `most`. */
export function pitchPlaces(rate: number, from: number, to: number, most: number): number[] {
  const room = to - from - pitchFrames(rate);
  if (room < 0) return [];
  const count = Math.max(1, Math.min(most, Math.ceil((2 * room) / pitchFrames(rate))));
  return Array.from({ length: count }, (_, i) => from + Math.round(count === 1 ? room / 2 : (room * i) / (count - 1)));
}

export function pitchAt(samples: ArrayLike<number>, rate: number, frame: number): Pitch | undefined {
  return pitchOf(samples, rate, {}, frame, frame + pitchFrames(rate));
}

/** What estimates over a stretch come to. */
export type StretchPitch =
  | { readonly kind: 'none' }
  | { readonly kind: 'one'; readonly hz: number }
  | { readonly kind: 'several'; readonly lowest: number; readonly highest: number };

/** Estimates this near to their median are one pitch. */
const ONE_PITCH_CENTS = 50;
/** Fewer estimates than this share with a pitch: there is none to speak of. */
const LEAST_SHARE = 0.2;

/** One pitch where three quarters of those found agree, else the span of them; none where hardly any was found. */
export function pitchOfStretch(estimates: readonly (Pitch | undefined)[]): StretchPitch {
  const found = estimates.flatMap((pitch) => (pitch ? [pitch.hz] : [])).sort((a, b) => a - b);
  if (found.length === 0 || found.length < LEAST_SHARE * estimates.length) return { kind: 'none' };
  const median = found[Math.floor(found.length / 2)] as number;
  const near = found.filter((hz) => Math.abs(1200 * Math.log2(hz / median)) <= ONE_PITCH_CENTS);
  if (near.length < 0.75 * found.length) return { kind: 'several', lowest: found[0] as number, highest: found.at(-1) as number };
  return { kind: 'one', hz: near[Math.floor(near.length / 2)] as number };
}
