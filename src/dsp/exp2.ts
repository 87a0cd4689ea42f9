/**
 * 2^x for kernels (AssemblyScript), the same bits on every machine: 2^n from the exponent bits times a minimax
 * polynomial of degree 10 for 2^r, r in -1/2..1/2 (Remez, 2.2e-16 in exact arithmetic). Whole x give exact powers of two.
 * Relative error below 1e-15 for |x| <= 1022, which the caller keeps to (beyond it the result is meaningless, but nothing traps).
 */

const C1: f64 = 0.6931471805599497;
const C2: f64 = 0.24022650695908768;
const C3: f64 = 0.05550410866445883;
const C4: f64 = 0.00961812910803459;
const C5: f64 = 0.0013333558228561476;
const C6: f64 = 0.00015403529961135955;
const C7: f64 = 1.5252658116561384e-5;
const C8: f64 = 1.3215662831846104e-6;
const C9: f64 = 1.0208537904552164e-7;
const C10: f64 = 7.037279530582804e-9;

/** 1.5 x 2^52: adding it leaves the nearest whole number of a small f64 in the low mantissa bits. */
const ROUNDER: f64 = 6755399441055744;

/** 2^x. */
// @ts-ignore: decorator
@inline
export function exp2(x: f64): f64 {
  const t = x + ROUNDER;
  const r = x - (t - ROUNDER);
  const r2 = r * r;
  const r4 = r2 * r2;
  const low = 1 + C1 * r + (C2 + C3 * r) * r2;
  const middle = C4 + C5 * r + (C6 + C7 * r) * r2;
  const high = C8 + C9 * r + C10 * r2;
  return (low + (middle + high * r4) * r4) * reinterpret<f64>((reinterpret<i64>(t) + 1023) << 52);
}

/** 2^x for two lanes of f64, the same bits as `exp2` on each. */
// @ts-ignore: decorator
@inline
export function exp2Pair(x: v128): v128 {
  const t = f64x2.add(x, f64x2.splat(ROUNDER));
  const r = f64x2.sub(x, f64x2.sub(t, f64x2.splat(ROUNDER)));
  const r2 = f64x2.mul(r, r);
  const r4 = f64x2.mul(r2, r2);
  const low = f64x2.add(
    f64x2.add(f64x2.splat(1), f64x2.mul(f64x2.splat(C1), r)),
    f64x2.mul(f64x2.add(f64x2.splat(C2), f64x2.mul(f64x2.splat(C3), r)), r2),
  );
  const middle = f64x2.add(
    f64x2.add(f64x2.splat(C4), f64x2.mul(f64x2.splat(C5), r)),
    f64x2.mul(f64x2.add(f64x2.splat(C6), f64x2.mul(f64x2.splat(C7), r)), r2),
  );
  const high = f64x2.add(f64x2.add(f64x2.splat(C8), f64x2.mul(f64x2.splat(C9), r)), f64x2.mul(f64x2.splat(C10), r2));
  const scale = i64x2.shl(i64x2.add(t, i64x2.splat(1023)), 52);
  return f64x2.mul(f64x2.add(low, f64x2.mul(f64x2.add(middle, f64x2.mul(high, r4)), r4)), scale);
}
