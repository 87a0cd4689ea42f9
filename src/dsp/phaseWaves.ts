/**
 * Waves of +-5 V from the upper half of a 64-bit phase (AssemblyScript), four frames at a time: one cycle is 2^32, 0 is the start.
 * The plain waves jump and turn as it falls on the frames; the edges that mend this come as sums (waveEdges.ts).
 */
import { RAIL } from './block';

export const SINE: i32 = 0;
export const TRIANGLE: i32 = 1;
export const SAW: i32 = 2;
export const PULSE: i32 = 3;

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

// @ts-ignore: decorator
@inline
function plain(wave: i32, phase: v128, width: v128): v128 {
  if (wave == SINE) return plainSine(phase);
  if (wave == TRIANGLE) return plainTriangle(phase);
  if (wave == SAW) return plainSaw(phase);
  return plainPulse(phase, width);
}

// @ts-ignore: decorator
@inline
function mended(wave: v128, edges: v128): v128 {
  return f32x4.pmax(f32x4.pmin(f32x4.add(wave, edges), f32x4.splat(RAIL)), f32x4.splat(-RAIL));
}

/** Stores `count` frames of a wave. Phases and widths are u32 per frame, readable to a multiple of 4; the sums are 0 from `busy` on. */
// @ts-ignore: decorator
@inline
export function putWave(wave: i32, out: usize, phases: usize, widths: usize, sums: usize, busy: i32, count: i32): void {
  let k: usize = 0;
  const most = (<usize>(count & ~3)) << 2;
  const both = min(most, (<usize>((busy + 3) & ~3)) << 2);
  for (; k < both; k += 16) {
    v128.store(out + k, mended(plain(wave, v128.load(phases + k), v128.load(widths + k)), v128.load(sums + k)));
  }
  for (; k < most; k += 16) v128.store(out + k, plain(wave, v128.load(phases + k), v128.load(widths + k)));
  const rest = count & 3;
  if (rest == 0) return;
  const last = mended(plain(wave, v128.load(phases + k), v128.load(widths + k)), v128.load(sums + k));
  if (rest == 1) {
    v128.store32_lane(out + k, last, 0);
    return;
  }
  v128.store64_lane(out + k, last, 0);
  if (rest == 3) v128.store32_lane(out + k, last, 2, 8);
}

/** Stores one frame of a wave and takes it away from the sums. */
// @ts-ignore: decorator
@inline
export function putFrame(wave: i32, out: usize, phase: v128, width: v128, sums: usize): void {
  v128.store32_lane(out, mended(plain(wave, phase, width), v128.load32_zero(sums)), 0);
  store<f32>(sums, 0);
}
