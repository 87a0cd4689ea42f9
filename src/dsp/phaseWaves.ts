/**
 * Plain waves of +-5 V from the upper half of a 64-bit phase (AssemblyScript), four frames at a time: one cycle is 2^32, 0 is the
 * start. Jumps and corners are left as they fall on the frames.
 */

const QUARTER: i32 = 0x40000000;
const CYCLE: f32 = 4294967296;

// 5 sin(2 pi u), u in -1/4..1/4: minimax of degree 11 (Remez, 2.2e-11), so that float32 arithmetic decides the error.
const S1: f32 = 31.4159265352334625;
const S3: f32 = -206.70851048563605;
const S5: f32 = 408.0261184514582;
const S7: f32 = -383.5208512994149;
const S9: f32 = 210.0389864141699;
const S11: f32 = -71.90695856730266;

/** 5 (2 p - 1). */
// @ts-ignore: decorator
@inline
export function plainSaw(phase: v128): v128 {
  const centred = f32x4.convert_i32x4_s(v128.xor(phase, i32x4.splat(i32.MIN_VALUE)));
  return f32x4.mul(centred, f32x4.splat(10 / CYCLE));
}

/** +5 V while p < width (a share of 2^32), else -5 V. */
// @ts-ignore: decorator
@inline
export function plainPulse(phase: v128, width: v128): v128 {
  return v128.bitselect(f32x4.splat(5), f32x4.splat(-5), i32x4.lt_u(phase, width));
}

/** -1/4..1/4 and back, in phase with the sine, as a share of 2^32. */
// @ts-ignore: decorator
@inline
function folded(phase: v128): v128 {
  const fromTop = i32x4.abs(i32x4.sub(phase, i32x4.splat(QUARTER)));
  return f32x4.convert_i32x4_s(i32x4.sub(i32x4.splat(QUARTER), fromTop));
}

/** A triangle that starts at 0 V going up. */
// @ts-ignore: decorator
@inline
export function plainTriangle(phase: v128): v128 {
  return f32x4.mul(folded(phase), f32x4.splat(20 / CYCLE));
}

/** 5 sin(2 pi p). */
// @ts-ignore: decorator
@inline
export function plainSine(phase: v128): v128 {
  const u = f32x4.mul(folded(phase), f32x4.splat(1 / CYCLE));
  const u2 = f32x4.mul(u, u);
  let sum = f32x4.add(f32x4.splat(S9), f32x4.mul(u2, f32x4.splat(S11)));
  sum = f32x4.add(f32x4.splat(S7), f32x4.mul(u2, sum));
  sum = f32x4.add(f32x4.splat(S5), f32x4.mul(u2, sum));
  sum = f32x4.add(f32x4.splat(S3), f32x4.mul(u2, sum));
  sum = f32x4.add(f32x4.splat(S1), f32x4.mul(u2, sum));
  return f32x4.mul(u, sum);
}
