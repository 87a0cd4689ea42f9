/**
 * Where notes set in: a rule of thumb that counts what an ear would call a new sound, whatever the patch does to make it.
 *
 * Spectral flux (J. P. Bello et al., "A Tutorial on Onset Detection in Music Signals", IEEE Trans. Speech and Audio 13(5), 2005): by how
 * much the compressed spectrum grows from a moment ago, over what it is now. The moment ago is widened to its neighbouring bins, so that
 * vibrato does not count (S. Boeck and G. Widmer, "Maximum Filter Vibrato Suppression for Onset Detection", DAFx 2013). An onset is a
 * highest value nearby that stands out of the values around it. The sizes are our own choice, tried on tones, plucks, noise and sweeps.
 */
import { createAnalyser } from './spectrum.ts';

const SIZE = 4096;
const HOP = 512;
/** How many hops back a frame is compared: 21 ms at 48 kHz. */
const BACK = 2;
/** Compression log(1 + C x amplitude / loudest of the sound). */
const COMPRESSION = 10;
/** Growth over the present spectrum that is an onset, and over the mean of the growth around it. */
const LEAST_GROWTH = 0.15;
const OVER_MEAN = 2;
/** A frame this far below the loudest counts as if it were that loud: what is all but silent has no onsets. */
const FLOOR = 0.05;
const NEAR_SECONDS = 0.05;
const AROUND_SECONDS = 0.25;

/** Looks for onsets bit by bit, so that nobody has to wait for a long take. */
export interface OnsetSearch {
  /** Hops of the whole sound. */
  readonly hops: number;
  /** Looks at the next hop; call `hops` times. */
  step(): void;
  /** Seconds at which notes set in, once all hops are done. */
  onsets(): number[];
}

/** `peak` is the highest absolute sample of the sound: quieter takes have as many notes. */
export function createOnsetSearch(samples: Float32Array, rate: number, peak: number): OnsetSearch {
  const analyser = createAnalyser(SIZE, 'hann');
  // The cut at the end would look like noise that sets in.
  const hops = Math.max(0, Math.ceil((samples.length - SIZE / 2) / HOP));
  const bins = SIZE / 2 + 1;
  const recent = Array.from({ length: BACK + 1 }, () => new Float32Array(bins));
  const growth = new Float64Array(hops);
  const size = new Float64Array(hops);
  let hop = 0;
  return {
    hops,
    step() {
      const now = recent[hop % recent.length] as Float32Array;
      const old = recent[(hop + 1) % recent.length] as Float32Array;
      const amplitudes = analyser.amplitudes(samples, hop * HOP - SIZE / 2);
      let sum = 0;
      let grown = 0;
      for (let b = 1; b < bins; b++) {
        const value = Math.log1p((COMPRESSION * (amplitudes[b] as number)) / peak);
        now[b] = value;
        sum += value;
      }
      for (let b = 1; b < bins; b++) {
        const before = Math.max(old[b - 1] as number, old[b] as number, old[b + 1] ?? 0);
        const more = (now[b] as number) - before;
        if (more > 0) grown += more;
      }
      growth[hop] = grown;
      size[hop] = sum;
      hop++;
    },
    onsets() {
      if (!(peak > 0)) return [];
      const floor = FLOOR * size.reduce((most, value) => Math.max(most, value), 0);
      const share = growth.map((value, i) => value / Math.max(size[i] as number, floor, 1e-12));
      return peaksOf(share, rate / HOP).map((i) => (i * HOP) / rate);
    },
  };
}

function peaksOf(share: Float64Array, perSecond: number): number[] {
  const near = Math.round(NEAR_SECONDS * perSecond);
  const around = Math.round(AROUND_SECONDS * perSecond);
  const found: number[] = [];
  for (let i = 0; i < share.length; i++) {
    const value = share[i] as number;
    if (value < LEAST_GROWTH) continue;
    let highest = true;
    for (let j = Math.max(0, i - near); highest && j <= Math.min(share.length - 1, i + near); j++) {
      const other = share[j] as number;
      highest = j < i ? other < value : other <= value;
    }
    if (!highest) continue;
    let sum = 0;
    let count = 0;
    for (let j = Math.max(0, i - around); j <= Math.min(share.length - 1, i + around); j++) {
      sum += share[j] as number;
      count++;
    }
    if (value >= (OVER_MEAN * sum) / count) found.push(i);
  }
  return found;
}

/** Onsets of a whole sound at once, in seconds. */
export function onsetsOf(samples: Float32Array, rate: number): number[] {
  const peak = samples.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
  const search = createOnsetSearch(samples, rate, peak);
  for (let i = 0; i < search.hops; i++) search.step();
  return search.onsets();
}
