/** A high-pass of the second order: trapezoidal state-variable filter. It starts at rest with `first` at its input: no thump. */
export function createHighPass(hz: number, q: number, rate: number, first = 0): (x: number) => number {
  const g = Math.tan((Math.PI * hz) / rate);
  const k = 1 / q;
  const a = 1 / (1 + g * (g + k));
  let s1 = 0;
  let s2 = first;
  return (x) => {
    const high = (x - (g + k) * s1 - s2) * a;
    const band = g * high + s1;
    const low = g * band + s2;
    s1 = g * high + band;
    s2 = g * band + low;
    return high;
  };
}
