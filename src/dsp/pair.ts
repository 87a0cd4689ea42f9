/** Two frames at a time in f64 (AssemblyScript): lane 0 is frame i, lane 1 frame i + 1. */

/** Volts of frames i and i + 1; lane 1 is 0 where frame i is the range's last (nothing is read beyond `to`). */
// @ts-ignore: decorator
@inline
export function readPair(signal: usize, i: i32, to: i32): v128 {
  const at = signal + ((<usize>i) << 2);
  return f64x2.promote_low_f32x4(i + 1 < to ? v128.load64_zero(at) : v128.load32_zero(at));
}

/** Volts of frame i in both lanes: for held inputs. */
// @ts-ignore: decorator
@inline
export function readBoth(signal: usize, i: i32): v128 {
  return f64x2.splat(<f64>load<f32>(signal + ((<usize>i) << 2)));
}

/** Lanes limited to low..high (no NaN comes in). */
// @ts-ignore: decorator
@inline
export function clampPair(x: v128, low: f64, high: f64): v128 {
  return f64x2.pmax(f64x2.pmin(x, f64x2.splat(high)), f64x2.splat(low));
}
