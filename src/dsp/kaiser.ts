/**
 * The Kaiser window for FIR design (AssemblyScript; used at preparation, not while sound runs).
 * Source: J. F. Kaiser, "Nonrecursive digital filter design using the I0-sinh window function", IEEE ISCAS 1974.
 */

/** Modified Bessel function of the first kind, order zero, by its power series; x up to about 30. */
export function besselI0(x: f64): f64 {
  const quarter = 0.25 * x * x;
  let term: f64 = 1;
  let sum: f64 = 1;
  for (let k: f64 = 1; k < 100; k++) {
    term *= quarter / (k * k);
    sum += term;
    if (term < sum * 1e-17) break;
  }
  return sum;
}

/** Window value at `place` = -1..1 across the window's half width; 0 outside. */
export function kaiser(place: f64, beta: f64): f64 {
  const inside = 1 - place * place;
  return inside < 0 ? 0 : besselI0(beta * Math.sqrt(inside)) / besselI0(beta);
}
