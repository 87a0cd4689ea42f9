/**
 * 2^x for kernels (AssemblyScript), the same bits on every machine: 2^n in the exponent bits times a minimax polynomial of
 * degree 10 for 2^r, r in -1/2..1/2 (Remez, 2.2e-16 in exact arithmetic). Whole x give exact powers of two. Relative error below
 * 1e-15 for |x| <= 1020, which the caller keeps to (beyond it the result is meaningless, but nothing traps).
 */

/**
 * Coefficients 0..10, each twice, then 1.5 x 2^52: adding that leaves the nearest whole number of a small f64 in the low mantissa
 * bits. They stand in memory because operands from there are cheaper than constants in the code.
 */
const TABLE = memory.data<f64>([
  1, 1, 0.6931471805599497, 0.6931471805599497, 0.24022650695908768, 0.24022650695908768, 0.05550410866445883, 0.05550410866445883,
  0.00961812910803459, 0.00961812910803459, 0.0013333558228561476, 0.0013333558228561476, 0.00015403529961135955, 0.00015403529961135955,
  1.5252658116561384e-5, 1.5252658116561384e-5, 1.3215662831846104e-6, 1.3215662831846104e-6, 1.0208537904552164e-7, 1.0208537904552164e-7,
  7.037279530582804e-9, 7.037279530582804e-9, 6755399441055744, 6755399441055744,
]);
const ROUNDER: i32 = 11;

// @ts-ignore: decorator
@inline
function c(i: i32): f64 {
  return load<f64>(TABLE + ((<usize>i) << 4));
}

// @ts-ignore: decorator
@inline
function cc(i: i32): v128 {
  return v128.load(TABLE + ((<usize>i) << 4));
}

/** 2^x. */
// @ts-ignore: decorator
@inline
export function exp2(x: f64): f64 {
  const t = x + c(ROUNDER);
  const r = x - (t - c(ROUNDER));
  const r2 = r * r;
  const r4 = r2 * r2;
  const low = c(0) + c(1) * r + (c(2) + c(3) * r) * r2;
  const middle = c(4) + c(5) * r + (c(6) + c(7) * r) * r2;
  const high = c(8) + c(9) * r + c(10) * r2;
  return reinterpret<f64>(reinterpret<i64>(low + (middle + high * r4) * r4) + (reinterpret<i64>(t) << 52));
}

/** 2^x for two lanes of f64, the same bits as `exp2` on each. */
// @ts-ignore: decorator
@inline
export function exp2Pair(x: v128): v128 {
  const t = f64x2.add(x, cc(ROUNDER));
  const r = f64x2.sub(x, f64x2.sub(t, cc(ROUNDER)));
  const r2 = f64x2.mul(r, r);
  const r4 = f64x2.mul(r2, r2);
  const low = f64x2.add(f64x2.add(cc(0), f64x2.mul(cc(1), r)), f64x2.mul(f64x2.add(cc(2), f64x2.mul(cc(3), r)), r2));
  const middle = f64x2.add(f64x2.add(cc(4), f64x2.mul(cc(5), r)), f64x2.mul(f64x2.add(cc(6), f64x2.mul(cc(7), r)), r2));
  const high = f64x2.add(f64x2.add(cc(8), f64x2.mul(cc(9), r)), f64x2.mul(cc(10), r2));
  return i64x2.add(f64x2.add(low, f64x2.mul(f64x2.add(middle, f64x2.mul(high, r4)), r4)), i64x2.shl(t, 52));
}
