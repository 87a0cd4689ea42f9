/** What a take is like in figures: what two takes are compared by. Worked out bit by bit, so that no page has to wait for a long one. */
import { levelsOf } from './levels.ts';
import { createLoudnessMeter } from './loudness.ts';
import { createOnsetSearch } from './onsets.ts';
import { pitchOf } from './pitch.ts';
import { createAnalyser } from './spectrum.ts';

/** Full scale 1. */
export interface SoundFigures {
  readonly seconds: number;
  /** Highest absolute sample of all channels. */
  readonly peak: number;
  /** Root mean square over all channels. */
  readonly rms: number;
  /** LUFS, integrated (ITU-R BS.1770); undefined below 0.4 s, -Infinity for silence. */
  readonly loudness: number | undefined;
  /**
   * Brightness: spectral centroid in Hz, the mean frequency of the amplitude spectrum (G. Peeters, "A large set of audio features for
   * sound description", CUIDADO report, IRCAM 2004, 6.1.1), over all frames weighted by their amplitude; undefined for silence.
   */
  readonly brightness: number | undefined;
  /** Median of the pitches found (YIN), in Hz; undefined where hardly any moment has one. */
  readonly pitch: number | undefined;
  /** Notes that set in (see onsets.ts). */
  readonly notes: number;
}

/** Analyses of 85 ms at 48 kHz: spectral lines 47 Hz apart are told apart (Hann). */
const SIZE = 4096;
/** At most so many pitches per sound, and so many spectra: a longer sound is looked at less closely. */
const MOST_PITCHES = 48;
const MOST_SPECTRA = 600;
const PITCH_FRAMES = 4096;
/** Lowest pitch looked for: the lowest string of a bass is 41 Hz. */
const LOWEST_HZ = 30;
/** A pitch is told where at least this share of the moments that sound has one (our choice). */
const LEAST_SHARE = 0.25;
/** Moments quieter than this below the loudest have no pitch to speak of (our choice). */
const QUIET = 0.01;

export class SoundDescriber {
  readonly #rate: number;
  readonly #channels: readonly Float32Array[];
  readonly #work: Iterator<undefined, SoundFigures>;
  #result: SoundFigures | undefined;
  #loudness: { readonly lufs: number | undefined } | undefined;

  constructor(channels: readonly Float32Array[], rate: number) {
    const [left, right] = channels;
    // A mono take has the same on both sides.
    const twins = left !== undefined && right !== undefined && left.length === right.length && left.every((x, i) => x === right[i]);
    this.#channels = twins ? [left] : channels;
    this.#rate = rate;
    this.#work = this.#describe(twins);
  }

  /** What is known first. */
  get loudness(): { readonly lufs: number | undefined } | undefined {
    return this.#loudness;
  }

  /** Works for some milliseconds; the figures once they are there. */
  advance(): SoundFigures | undefined {
    if (!this.#result) {
      const { done, value } = this.#work.next();
      if (done) this.#result = value;
    }
    return this.#result;
  }

  *#describe(twins: boolean): Generator<undefined, SoundFigures> {
    const channels = this.#channels;
    const rate = this.#rate;
    const frames = channels[0]?.length ?? 0;
    const levels = channels.map((samples) => levelsOf(samples));
    const peak = Math.max(0, ...levels.map((level) => level.peak));
    const loudest = channels[levels.reduce((best, { rms }, i) => (rms > (levels[best]?.rms ?? 0) ? i : best), 0)] ?? new Float32Array(0);
    yield;
    const meter = createLoudnessMeter(rate, twins ? 2 : channels.length);
    const heard = twins ? [loudest, loudest] : channels;
    for (let at = 0; at < frames; at += rate) {
      meter.push(heard, at, Math.min(frames, at + rate));
      yield;
    }
    this.#loudness = { lufs: meter.integrated() };
    yield;
    const brightness = yield* this.#brightness(frames);
    const pitch = yield* this.#pitch(loudest, peak);
    const onsets = createOnsetSearch(loudest, rate, peak);
    for (let i = 0; i < onsets.hops; i++) {
      onsets.step();
      if (i % 64 === 63) yield;
    }
    return {
      seconds: frames / rate,
      peak,
      rms: Math.sqrt(levels.reduce((sum, level) => sum + level.rms ** 2, 0) / Math.max(1, levels.length)),
      loudness: this.#loudness.lufs,
      brightness,
      pitch,
      notes: onsets.onsets().length,
    };
  }

  *#brightness(frames: number): Generator<undefined, number | undefined> {
    const analyser = createAnalyser(SIZE, 'hann');
    const hop = Math.max(SIZE / 2, Math.ceil(frames / MOST_SPECTRA));
    let moment = 0;
    let sum = 0;
    let count = 0;
    for (const samples of this.#channels) {
      for (let at = 0; at === 0 || at + SIZE <= frames; at += hop) {
        const amplitudes = analyser.amplitudes(samples, at);
        for (let b = 1; b < amplitudes.length; b++) {
          moment += (amplitudes[b] as number) * b;
          sum += amplitudes[b] as number;
        }
        if (++count % 16 === 0) yield;
      }
    }
    return sum > 0 ? ((moment / sum) * this.#rate) / SIZE : undefined;
  }

  *#pitch(samples: Float32Array, peak: number): Generator<undefined, number | undefined> {
    const hop = Math.max(PITCH_FRAMES, Math.ceil(samples.length / MOST_PITCHES));
    const found: number[] = [];
    let sounding = 0;
    for (let at = 0; at + PITCH_FRAMES <= samples.length; at += hop) {
      if (!(levelsOf(samples, at, at + PITCH_FRAMES).peak > QUIET * peak)) continue;
      sounding++;
      const pitch = pitchOf(samples, this.#rate, { lowest: LOWEST_HZ }, at, at + PITCH_FRAMES);
      if (pitch) found.push(pitch.hz);
      yield;
    }
    if (found.length === 0 || found.length < LEAST_SHARE * sounding) return undefined;
    return found.sort((a, b) => a - b)[Math.floor(found.length / 2)];
  }
}

/** All at once, for tests and the command line. */
export function soundFigures(channels: readonly Float32Array[], rate: number): SoundFigures {
  const describer = new SoundDescriber(channels, rate);
  for (;;) {
    const figures = describer.advance();
    if (figures) return figures;
  }
}
