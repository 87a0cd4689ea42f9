/**
 * Finds clicks: jumps of the signal or of its slope that the sound around them does not explain.
 *
 * The second difference x[n-1] - 2 x[n] + x[n+1] of smooth sound is small and much alike from one moment to the next; a jump by
 * A shows as a spike of height A, a kink as a smaller one. A spike is a click if it stands out by `ratio` from what the signal does
 * within `reach` frames on both sides. Spikes that come again there (the edges of a saw or a square) explain each other.
 * So a click smaller than the wave's own edges cannot be found, nor can one that repeats within the reach.
 */

export interface Click {
  readonly frame: number;
  /** Height of the spike in the second difference, in the unit of the samples. */
  readonly size: number;
  /** Spike over the strongest second difference nearby. */
  readonly ratio: number;
}

export interface ClickSearch {
  /** How far a click must stand out; default 4. */
  readonly ratio?: number;
  /** Spikes smaller than this are ignored, in the unit of the samples; default 0.001. */
  readonly least?: number;
  /** Frames looked at on each side; default 2048, so that waves down to about 25 Hz explain their own edges at 48 kHz. */
  readonly reach?: number;
  /** Frames on each side that belong to the spike itself (a band-limited jump rings for some frames); default 24. */
  readonly ring?: number;
}

const SPAN = 32;

/** Clicks in frames from..to-1, in order. */
export function findClicks(samples: ArrayLike<number>, search: ClickSearch = {}, from = 0, to = samples.length): Click[] {
  const { ratio = 4, least = 0.001, reach = 2048, ring = 24 } = search;
  const count = Math.max(0, to - from);
  const bend = new Float64Array(count);
  const strongest = new Float64Array(Math.ceil(count / SPAN));
  for (let i = 1; i + 1 < count; i++) {
    const n = from + i;
    const size = Math.abs((samples[n - 1] as number) - 2 * (samples[n] as number) + (samples[n + 1] as number));
    bend[i] = size;
    const span = Math.floor(i / SPAN);
    if (size > (strongest[span] as number)) strongest[span] = size;
  }
  /** Strongest second difference in a..b-1. */
  const highest = (a: number, b: number): number => {
    let most = 0;
    let i = Math.max(0, a);
    const end = Math.min(count, b);
    while (i < end) {
      if (i % SPAN === 0 && i + SPAN <= end) {
        most = Math.max(most, strongest[i / SPAN] as number);
        i += SPAN;
      } else most = Math.max(most, bend[i++] as number);
    }
    return most;
  };
  const clicks: Click[] = [];
  for (let i = 0; i < count; i++) {
    const size = bend[i] as number;
    if (size < least || size < highest(i - ring, i + ring + 1)) continue;
    const around = Math.max(highest(i - reach, i - ring), highest(i + ring + 1, i + reach));
    if (size <= ratio * around) continue;
    clicks.push({ frame: from + i, size, ratio: size / around });
    i += ring;
  }
  return clicks;
}
