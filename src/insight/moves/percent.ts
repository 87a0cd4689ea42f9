/** Shares as people read them. */

/**
 * Whole percents that add up to 100 as the shares do (largest remainders). A share that comes to nothing is "less than 1 %".
 */
export function percentTexts(shares: readonly number[]): string[] {
  const exact = shares.map((share) => 100 * share);
  const whole = exact.map(Math.floor);
  const missing = Math.round(exact.reduce((sum, x) => sum + x, 0)) - whole.reduce((sum, x) => sum + x, 0);
  const first = [...exact.keys()].sort((a, b) => rest(exact[b] as number) - rest(exact[a] as number)).slice(0, Math.max(0, missing));
  for (const i of first) whole[i] = (whole[i] as number) + 1;
  return whole.map((percent, i) => (percent === 0 && (exact[i] as number) > 0 ? 'less than 1 %' : `${percent} %`));
}

const rest = (x: number): number => x - Math.floor(x);
