/** How sound dies away, by backward integration (M. R. Schroeder, J. Acoust. Soc. Am. 37, 1965; ISO 3382-1). */

/** What is still to come of the energy of all responses together, frame by frame, in dB of the whole. */
export function energyLevels(responses: readonly ArrayLike<number>[]): Float64Array {
  const frames = responses[0]?.length ?? 0;
  const energy = new Float64Array(frames);
  for (let n = frames - 1, sum = 0; n >= 0; n--) {
    for (const response of responses) sum += (response[n] as number) ** 2;
    energy[n] = sum;
  }
  const whole = energy[0] ?? 0;
  return energy.map((rest) => 10 * Math.log10(rest / whole));
}

/** Seconds for 60 dB, from the slope between two levels (-5 and -25 dB: T20). */
export function decayTime(levels: Float64Array, rate: number, from = -5, to = -25): number {
  let [count, x, y, xx, xy] = [0, 0, 0, 0, 0];
  for (let n = 0; n < levels.length; n += 8) {
    const level = levels[n] as number;
    if (level > from || level < to) continue;
    [count, x, y, xx, xy] = [count + 1, x + n, y + level, xx + n * n, xy + n * level];
  }
  return -60 / (((count * xy - x * y) / (count * xx - x * x)) * rate);
}
