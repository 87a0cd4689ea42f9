/**
 * tan(x) for prewarping a cutoff (AssemblyScript), the same bits on every machine: a rational minimax fit
 * x (1 + A1 x^2 + A2 x^4) / (1 + B1 x^2 + B2 x^4) over 0..0.45 pi. The cutoff that comes out is off by less than 0.0001 cent
 * (relative error of the tangent below 7e-8), in float32 lanes by less than 0.001 cent. Numerator and denominator come
 * apart for lanes, because a filter divides by more than cos x alone and so needs one division in all.
 */
import { lane } from './four';

const A1: f64 = -0.11187043952205851;
const A2: f64 = 0.0011112637507555004;
const B1: f64 = -0.445203656669976;
const B2: f64 = 0.01617862560801282;

const TABLE = memory.data<f32>([<f32>A1, <f32>A2, <f32>B1, <f32>B2, 1], 16);

/** tan(x), x in 0..0.45 pi. */
export function tan(x: f64): f64 {
  const x2 = x * x;
  return (x * (1 + (A1 + A2 * x2) * x2)) / (1 + (B1 + B2 * x2) * x2);
}

/** Numerator of tan(x) for four lanes of f32, x in 0..0.45 pi; `x2` is x squared. */
// @ts-ignore: decorator
@inline
export function tanTop(x: v128, x2: v128): v128 {
  const inner = f32x4.add(lane(TABLE, 0), f32x4.mul(lane(TABLE, 1), x2));
  return f32x4.mul(x, f32x4.add(lane(TABLE, 4), f32x4.mul(inner, x2)));
}

/** Denominator of tan(x) for four lanes of f32. */
// @ts-ignore: decorator
@inline
export function tanBottom(x2: v128): v128 {
  const inner = f32x4.add(lane(TABLE, 2), f32x4.mul(lane(TABLE, 3), x2));
  return f32x4.add(lane(TABLE, 4), f32x4.mul(inner, x2));
}
