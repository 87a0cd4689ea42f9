/**
 * Four frames at a time in f32 (AssemblyScript), for work that no frame needs from the one before: coefficients under
 * modulation. Lanes do not mix, so the bits do not depend on where a group of four begins.
 */

/** Entry i of a table of f32 constants in all lanes: one instruction, where a constant in the code takes several. */
// @ts-ignore: decorator
@inline
export function lane(table: usize, i: usize): v128 {
  return v128.load32_splat(table + (i << 2));
}

/** Volts of frames i..i+3; lanes at or beyond `to` hold 0 and nothing is read there. */
// @ts-ignore: decorator
@inline
export function readFour(signal: usize, i: i32, to: i32): v128 {
  const at = signal + ((<usize>i) << 2);
  if (i + 4 <= to) return v128.load(at);
  let x = v128.load32_zero(at);
  if (i + 1 < to) x = v128.load32_lane(at, x, 1, 4);
  if (i + 2 < to) x = v128.load32_lane(at, x, 2, 8);
  return x;
}

/** Lanes limited to low..high (no NaN comes in). */
// @ts-ignore: decorator
@inline
export function clampFour(x: v128, low: v128, high: v128): v128 {
  return f32x4.pmax(f32x4.pmin(x, high), low);
}

/** Minimax polynomial of degree 6 for 2^r, r in -1/2..1/2 (Remez, 2.6e-9 in exact arithmetic), then 1 and 1.5 x 2^23. */
const POWERS = memory.data<f32>(
  [
    0.6931472149680404, 0.24022652782876636, 0.05550310550994764, 0.009617692974824604, 0.00134066439053285, 0.000155946775678546, 1,
    12582912,
  ],
  16,
);

/** 2^x for four lanes, |x| < 120; relative error below 2e-7 (0.0004 cent). Whole x give exact powers of two. */
// @ts-ignore: decorator
@inline
export function exp2Four(x: v128): v128 {
  const t = f32x4.add(x, lane(POWERS, 7)); // the nearest whole number, in the low mantissa bits
  const r = f32x4.sub(x, f32x4.sub(t, lane(POWERS, 7)));
  const r2 = f32x4.mul(r, r);
  const low = f32x4.add(lane(POWERS, 6), f32x4.mul(lane(POWERS, 0), r));
  const middle = f32x4.add(lane(POWERS, 1), f32x4.mul(lane(POWERS, 2), r));
  const high = f32x4.add(f32x4.add(lane(POWERS, 3), f32x4.mul(lane(POWERS, 4), r)), f32x4.mul(lane(POWERS, 5), r2));
  const scale = i32x4.shl(i32x4.add(t, i32x4.splat(127)), 23);
  return f32x4.mul(f32x4.add(low, f32x4.mul(f32x4.add(middle, f32x4.mul(high, r2)), r2)), scale);
}
