/**
 * A soft limit (AssemblyScript): v - (4/5)^4 / 5 v^5 up to |v| = 5/4, then +-1. Odd, monotonic, with continuous slope;
 * slope 1 at 0 and so flat there that half of full level still passes within 0.5 %.
 * Polynomials and clamps alone: no division, no table.
 */

const EDGE: f64 = 1.25;
const FIFTH: f64 = 0.08192;

/** What `softClipPair` reads of a limit in volts: the clamps, and the factor of v^5; each twice, as operands from memory. */
export const CLIP_BYTES: i32 = 48;

/** Fills the table for a limit. */
export function fillClip(table: usize, limit: f64): void {
  v128.store(table, f64x2.splat(EDGE * limit));
  v128.store(table, f64x2.splat(-EDGE * limit), 16);
  v128.store(table, f64x2.splat(FIFTH / (limit * limit * limit * limit)), 32);
}

/** Limits two lanes to +- the table's limit; straight for small signals. */
// @ts-ignore: decorator
@inline
export function softClipPair(volts: v128, table: usize): v128 {
  const v = f64x2.pmax(f64x2.pmin(volts, v128.load(table)), v128.load(table, 16));
  const v2 = f64x2.mul(v, v);
  return f64x2.sub(v, f64x2.mul(f64x2.mul(v, v128.load(table, 32)), f64x2.mul(v2, v2)));
}
