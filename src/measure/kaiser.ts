/** Kaiser window (J. F. Kaiser, IEEE ISCAS 1974), for interpolation filters. */

/** Modified Bessel function of the first kind, order zero, by its power series. */
export function besselI0(x: number): number {
  let term = 1;
  let sum = 1;
  for (let k = 1; k < 100 && term > sum * 1e-17; k++) {
    term *= (0.25 * x * x) / (k * k);
    sum += term;
  }
  return sum;
}

/** Value at `place` = -1..1 of the window's half width; 0 outside. */
export function kaiser(place: number, beta: number): number {
  const inside = 1 - place * place;
  return inside < 0 ? 0 : besselI0(beta * Math.sqrt(inside)) / besselI0(beta);
}
