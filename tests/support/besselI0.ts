/** Modified Bessel function I0 by its series (DLMF 10.25.2), for |x| up to about 20. */
export function besselI0(x: number): number {
  let [sum, term] = [1, 1];
  for (let k = 1; k < 60; k++) {
    term *= (x / 2 / k) ** 2;
    sum += term;
  }
  return sum;
}
