/**
 * A column of a spectrogram: levels along a logarithmic axis of frequency. The window is Hann's: its main lobe is the narrowest of the
 * cosine windows (4 bins) and its side lobes fall by 18 dB per octave from -31 dB (F. J. Harris, Proc. IEEE 66(1), 1978), so that what is
 * short and what is close both stay apart; the spectrum, which shows 120 dB at rest, takes a window with lower side lobes instead.
 */
import { createAnalyser } from './spectrum.ts';

/** Least and most frames of a window at 48 kHz: 11 ms parts drum strokes, 341 ms parts neighbouring notes down to about A2. */
const LEAST_FRAMES = 512;
const MOST_FRAMES = 16384;

/** Frames of the window for a picture of `span` seconds: about a sixty-fourth of it, a power of two. */
export function spectrogramFrames(span: number, rate: number): number {
  const scale = 2 ** Math.round(Math.log2(rate / 48000));
  const wanted = 2 ** Math.round(Math.log2(Math.max(1, (span * rate) / 64)));
  return Math.min(MOST_FRAMES * scale, Math.max(LEAST_FRAMES * scale, wanted));
}

export interface ColumnShape {
  readonly rate: number;
  /** Frames of the window, a power of two. */
  readonly frames: number;
  /** Levels per column; the first is the lowest frequency. */
  readonly rows: number;
  /** Hz at the lower edge of the first row and the upper edge of the last. */
  readonly lowest: number;
  readonly highest: number;
}

/** Levels in dB re 1 V (a sine of amplitude A reads 20 log10 A) of one window of frames, no lower than -200; NaN where a sample is missing. */
export type ColumnMaker = (samples: ArrayLike<number>, from?: number) => Float32Array;

export function createColumnMaker({ rate, frames, rows, lowest, highest }: ColumnShape): ColumnMaker {
  const analyser = createAnalyser(frames, 'hann');
  const ratio = highest / lowest;
  /** Bin at the lower edge of each row, and at the upper edge of the last. */
  const edges = Float64Array.from({ length: rows + 1 }, (_, r) => (lowest * ratio ** (r / rows) * frames) / rate);
  return (samples, from = 0) => {
    const amplitudes = analyser.amplitudes(samples, from);
    const levels = new Float32Array(rows);
    for (let r = 0; r < rows; r++)
      levels[r] = Math.max(-200, 20 * Math.log10(between(amplitudes, edges[r] as number, edges[r + 1] as number)));
    return levels;
  };
}

/** The largest value whose place falls within from..to; where none does, the straight line between neighbours, in the middle. 0 beyond the end. */
function between(values: Float64Array, from: number, to: number): number {
  const first = Math.ceil(from);
  if (first > to || first >= values.length) {
    const middle = (from + to) / 2;
    const below = Math.floor(middle);
    if (below >= values.length - 1) return 0;
    const a = values[below] as number;
    return a + ((values[below + 1] as number) - a) * (middle - below);
  }
  let most = values[first] as number;
  for (let b = first + 1; b <= to && b < values.length; b++) most = Math.max(most, values[b] as number);
  return most;
}
