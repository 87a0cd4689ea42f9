/** The largest |difference| over n = 0..count-1: one assertion for a whole stretch of frames. NaN counts as infinite. */
export function worst(count: number, difference: (n: number) => number): number {
  let most = 0;
  for (let n = 0; n < count; n++) {
    const size = Math.abs(difference(n));
    if (!(size <= most)) most = Number.isNaN(size) ? Number.POSITIVE_INFINITY : size;
  }
  return most;
}
