/** A signal as one least and one greatest value per pixel column: never more work to draw than the screen has columns. */

/** NaN in columns without a signal. */
export interface Columns {
  readonly lowest: Float32Array;
  readonly highest: Float32Array;
}

/**
 * Column c covers times start + c x perColumn .. start + (c + 1) x perColumn, in frames (fractions allowed). Values at a
 * column's two edges lie on the straight line between frames, so that neighbouring columns always meet, however far one zooms in.
 */
export function columnsOfFrames(samples: ArrayLike<number>, start: number, perColumn: number, count: number): Columns {
  const lowest = new Float32Array(count).fill(Number.NaN);
  const highest = new Float32Array(count).fill(Number.NaN);
  const last = samples.length - 1;
  const at = (time: number): number => {
    const frame = Math.min(Math.floor(time), last - 1);
    if (last === 0) return samples[0] as number;
    const a = samples[frame] as number;
    return a + ((samples[frame + 1] as number) - a) * (time - frame);
  };
  for (let c = 0; c < count; c++) {
    const from = Math.max(0, start + c * perColumn);
    const to = Math.min(last, start + (c + 1) * perColumn);
    if (last < 0 || to < from) continue;
    let low = Math.min(at(from), at(to));
    let high = Math.max(at(from), at(to));
    for (let i = Math.ceil(from); i <= to; i++) {
      const x = samples[i] as number;
      if (x < low) low = x;
      if (x > high) high = x;
    }
    lowest[c] = low;
    highest[c] = high;
  }
  return { lowest, highest };
}

/**
 * Columns from peaks: entry i holds least and greatest value of one stretch. Column c covers entries
 * start + c x perColumn .. start + (c + 1) x perColumn; entries that it touches count whole.
 */
export function columnsOfPeaks(
  least: ArrayLike<number>,
  greatest: ArrayLike<number>,
  start: number,
  perColumn: number,
  count: number,
): Columns {
  const lowest = new Float32Array(count).fill(Number.NaN);
  const highest = new Float32Array(count).fill(Number.NaN);
  for (let c = 0; c < count; c++) {
    const from = Math.max(0, Math.floor(start + c * perColumn));
    const to = Math.min(least.length, Math.max(Math.ceil(start + (c + 1) * perColumn), Math.floor(start + c * perColumn) + 1));
    for (let i = from; i < to; i++) {
      const low = least[i] as number;
      const high = greatest[i] as number;
      if (!((lowest[c] as number) <= low)) lowest[c] = low;
      if (!((highest[c] as number) >= high)) highest[c] = high;
    }
  }
  return { lowest, highest };
}
