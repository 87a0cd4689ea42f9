/** The test signals of EBU Tech 3341 and 3342, made from their recipes. */

const rate = 48000;

type Level = number | null | readonly (number | null)[];

export interface Recipe {
  readonly freq_hz?: number | undefined;
  readonly channels?: number | undefined;
  readonly repeat?: number | undefined;
  /** [seconds, dBFS peak of each channel, or one for all, null = silence]. */
  readonly parts_seconds_dbfs?: readonly (readonly (number | readonly number[])[])[] | undefined;
  /** Segment i = 0..19: seconds = a + b i, dBFS = c + d i (c null: silence). */
  readonly parts_a_b_c_d?: readonly (readonly (number | null)[])[] | undefined;
}

const amplitudeOf = (db: number | null): number => (db === null ? 0 : 10 ** (db / 20));

/** A sine of `seconds` at a peak level in dBFS. */
export function steadyTone(hz: number, db: number, seconds: number, sampleRate = rate): Float32Array {
  return Float32Array.from(
    { length: Math.round(seconds * sampleRate) },
    (_, n) => amplitudeOf(db) * Math.sin((2 * Math.PI * hz * n) / sampleRate),
  );
}

/** One sine through all parts, its phase running on. */
function stepped(hz: number, channels: number, parts: readonly (readonly [number, Level])[]): Float32Array[] {
  const lengths = parts.map(([seconds]) => Math.round(seconds * rate));
  const total = lengths.reduce((a, b) => a + b, 0);
  return Array.from({ length: channels }, (_, channel) => {
    const samples = new Float32Array(total);
    let at = 0;
    for (const [p, [, level]] of parts.entries()) {
      const amplitude = amplitudeOf(typeof level === 'object' && level !== null ? (level[channel] ?? null) : (level as number | null));
      const end = at + (lengths[p] ?? 0);
      for (; at < end; at++) samples[at] = amplitude * Math.sin((2 * Math.PI * hz * at) / rate);
    }
    return samples;
  });
}

/** Channels of a recipe in parts. */
export function tones(recipe: Recipe): Float32Array[] {
  const parts = (recipe.parts_seconds_dbfs ?? []).map(([seconds, level]) => [seconds as number, level as Level] as const);
  const repeated = Array.from({ length: recipe.repeat ?? 1 }, () => parts).flat();
  return stepped(recipe.freq_hz ?? 1000, recipe.channels ?? 2, repeated);
}

/** The 20 signals of a recipe whose parts depend on i. */
export function segments(recipe: Recipe): Float32Array[][] {
  return Array.from({ length: 20 }, (_, i) => {
    const parts = (recipe.parts_a_b_c_d ?? []).map(([a, b, c, d]) => {
      const seconds = (a ?? 0) + (b ?? 0) * i;
      return [seconds, c === null || c === undefined ? null : c + (d ?? 0) * i] as const;
    });
    return stepped(recipe.freq_hz ?? 1000, recipe.channels ?? 2, parts);
  });
}

/**
 * Cases 20 to 23: a sine at rate/6 of amplitude 0.5 with one period of rate/4 at amplitude 1, made at four times the rate, low-passed
 * (the standard leaves the filter open: here a Blackman-windowed sinc of 511 taps, cut at 0.46 of the rate) and thinned out with an offset.
 */
export function burst(offset: number): Float32Array {
  const around = Array.from({ length: 24 * 400 }, (_, n) => 0.5 * Math.sin((2 * Math.PI * n) / 24));
  const middle = Array.from({ length: 16 }, (_, n) => Math.sin((2 * Math.PI * n) / 16));
  const whole = [...around, ...middle, ...around];
  const fine = whole.map((x, n) => x * Math.min(1, n / 480, (whole.length - 1 - n) / 480));
  const taps = Array.from({ length: 511 }, (_, k) => {
    const t = k - 255;
    const sinc = t === 0 ? 0.23 : Math.sin(Math.PI * 0.23 * t) / (Math.PI * t);
    return sinc * (0.42 + 0.5 * Math.cos((Math.PI * t) / 256) + 0.08 * Math.cos((2 * Math.PI * t) / 256));
  });
  return Float32Array.from({ length: Math.floor((fine.length - offset) / 4) }, (_, m) =>
    taps.reduce((sum, tap, k) => sum + tap * (fine[4 * m + offset + 255 - k] ?? 0), 0),
  );
}
