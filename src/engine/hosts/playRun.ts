/**
 * The maths of playing a take, without a sound card: where the playing is at a moment, the curves of its fades, and the frames
 * that go to the device, with a loop whose seam and an end that do not click.
 *
 * Fades are raised cosines: a straight fade bends at both ends, which is heard (and measured) as a click on low notes. The two
 * curves of a cross-fade add up to 1, so that a take fades into itself unheard.
 */

/** Fade at start and pause, the same as of the live sound. */
export const START_SECONDS = 0.02;
/** Cross-fade of a jump to another place, of a loop's seam, and fade at the end of the take. */
export const JUMP_SECONDS = 0.005;
/** Cross-fade from one take to another at the same place. */
export const SWITCH_SECONDS = 0.02;
/** The shortest loop. */
export const LEAST_LOOP_SECONDS = 0.02;

/** Seconds of the take, start and end. */
export type Region = readonly [number, number];

/** Playing that began at a moment of the device's clock. */
export interface Run {
  /** Device time, in seconds, at which the take's second `from` sounds. */
  readonly at: number;
  readonly from: number;
  /** Length of the take. */
  readonly seconds: number;
  readonly loop: Region | undefined;
}

/** Is playing from here brought back by the loop? From behind its end it is not. */
export function entersLoop(from: number, loop: Region | undefined): loop is Region {
  return loop !== undefined && from < loop[1];
}

/** Second of the take that sounds at a device time; before the start the first, after the end the last. */
export function placeAt({ at, from, seconds, loop }: Run, time: number): number {
  const place = from + Math.max(0, time - at);
  if (!entersLoop(from, loop) || place < loop[1]) return Math.min(place, seconds);
  const [start, end] = loop;
  return start + ((place - start) % (end - start));
}

/** Where a run ends by itself, in device time; undefined for a loop. */
export function endOf(run: Run): number | undefined {
  return entersLoop(run.from, run.loop) ? undefined : run.at + Math.max(0, run.seconds - run.from);
}

/**
 * A region that lies within a take and is long enough, on whole frames; undefined where there is none. A start too close to the
 * take's for a seam is the take's start.
 */
export function fitRegion([a, b]: Region, seconds: number, rate: number): Region | undefined {
  const frame = (second: number): number => Math.round(Math.min(Math.max(second, 0), seconds) * rate) / rate;
  const [low, end] = [frame(Math.min(a, b)), frame(Math.max(a, b))];
  const start = low < JUMP_SECONDS ? 0 : low;
  return end - start >= LEAST_LOOP_SECONDS - 1e-9 ? [start, end] : undefined;
}

/** Half a raised cosine from 0 to 1 over a share 0..1 of the fade. */
export function risen(share: number): number {
  return 0.5 - 0.5 * Math.cos(Math.PI * Math.min(1, Math.max(0, share)));
}

const POINTS = 257;

/** The curve of a fade from 0 to `gain`, evenly spaced points; `falling` from 1 to 0. */
export function fadeCurve(gain: number, falling = false): Float32Array<ArrayBuffer> {
  return Float32Array.from({ length: POINTS }, (_, i) => gain * risen((falling ? POINTS - 1 - i : i) / (POINTS - 1)));
}

/** The last 5 ms of a channel, fading out: with them it ends without a click. */
export function fadedEnd(channel: Float32Array, rate: number): Float32Array<ArrayBuffer> {
  const fade = Math.min(channel.length, Math.round(JUMP_SECONDS * rate));
  const end = channel.slice(channel.length - fade);
  fadeOut(end, fade);
  return end;
}

/** Frames for the device: begins at second `first` of the take. */
export interface Looped {
  readonly samples: Float32Array<ArrayBuffer>;
  readonly first: number;
  /** Seconds within the samples. */
  readonly loop: Region;
}

/**
 * One channel of a take, ready to be played from a place before or in a loop. The loop's last 5 ms fade into what lies before its start,
 * so that the jump back is seamless; where nothing lies there the loop fades out and in again.
 */
export function looped(channel: Float32Array, rate: number, from: number, loop: Region): Looped {
  const fade = Math.round(JUMP_SECONDS * rate);
  const start = Math.round(loop[0] * rate);
  const end = Math.min(channel.length, Math.round(loop[1] * rate));
  const first = Math.min(start, Math.round(from * rate));
  const samples = channel.slice(first, end);
  const over = Math.min(fade, Math.floor((end - start) / 2));
  if (start < over) {
    fadeOut(samples, over);
    for (let i = 0; i < over; i++) samples[start - first + i] = (samples[start - first + i] as number) * risen(i / over);
  } else {
    for (let i = 0; i < over; i++) {
      const share = risen((i + 1) / over);
      const at = samples.length - over + i;
      samples[at] = (samples[at] as number) * (1 - share) + (channel[start - over + i] as number) * share;
    }
  }
  return { samples, first: first / rate, loop: [(start - first) / rate, (end - first) / rate] };
}

function fadeOut(samples: Float32Array, frames: number): void {
  const over = Math.min(frames, samples.length);
  for (let i = 0; i < over; i++) {
    const at = samples.length - over + i;
    samples[at] = (samples[at] as number) * risen(1 - (i + 1) / over);
  }
}
