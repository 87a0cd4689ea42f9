/**
 * Reading between the frames of a recording (AssemblyScript): a windowed sinc of 24 points, full band, so that whole positions give
 * the recording's own values. Kaiser, beta 9: amplitude and phase within -84 dB up to 0.375 of the rate (18 kHz at 48 kHz) at
 * every position, never louder than 0.0006 dB, linear phase: no delay but the position itself.
 * Between 256 tabulated positions the weights are interpolated linearly (-94 dB at half the rate, less below).
 */
import { kaiser } from './kaiser';

/** Points of the interpolation: 12 frames up to the position and 12 after it. */
export const READ_POINTS: i32 = 24;
/** Frames after the one at or before the position that must be there. */
export const READ_AHEAD: i32 = 12;
const READ_BEFORE: i32 = 11;
const POSITIONS: i32 = 256;
const BETA: f64 = 9;
const ROW: usize = 24 * 4;
const WEIGHTS = memory.data((POSITIONS + 2) * 24 * 4, 16);

/** Fills the table; call it from `prepare`. Does nothing the second time. */
export function prepareReading(): void {
  if (load<f32>(WEIGHTS, 11 * 4) == 1) return;
  for (let p = 0; p <= POSITIONS / 2; p++) {
    const share = <f64>p / POSITIONS;
    const row = WEIGHTS + <usize>p * ROW;
    const mirror = WEIGHTS + <usize>(POSITIONS - p) * ROW;
    let sum: f64 = 0;
    for (let k = 0; k < READ_POINTS; k++) sum += weight(k, share);
    for (let k = 0; k < READ_POINTS; k++) {
      const w = <f32>(weight(k, share) / sum);
      store<f32>(row + ((<usize>k) << 2), w);
      store<f32>(mirror + ((<usize>(READ_POINTS - 1 - k)) << 2), w);
    }
  }
}

function weight(k: i32, share: f64): f64 {
  const t = <f64>(k - READ_BEFORE) - share;
  if (share == 0) return k == READ_BEFORE ? 1 : 0;
  return (Math.sin(Math.PI * t) / (Math.PI * t)) * kaiser(t / <f64>READ_AHEAD, BETA);
}

/** Writes the 24 weights for a position `share` (0..1) after a frame. */
export function readingWeights(weights: usize, share: f64): void {
  const place = share * <f64>POSITIONS;
  const p = <i32>place;
  const part = f32x4.splat(<f32>(place - <f64>p));
  const row = WEIGHTS + <usize>p * ROW;
  for (let k: usize = 0; k < ROW; k += 16) {
    const left = v128.load(row + k);
    v128.store(weights + k, f32x4.add(left, f32x4.mul(f32x4.sub(v128.load(row + k + ROW), left), part)));
  }
}

/** Sum of 24 frames from `first` on (READ_BEFORE frames before the one at or before the position), weighted. */
// @ts-ignore: decorator
@inline
export function readWeighted(first: usize, weights: usize): f32 {
  const a = f32x4.add(
    f32x4.add(f32x4.mul(v128.load(first), v128.load(weights)), f32x4.mul(v128.load(first, 16), v128.load(weights, 16))),
    f32x4.mul(v128.load(first, 32), v128.load(weights, 32)),
  );
  const b = f32x4.add(
    f32x4.add(f32x4.mul(v128.load(first, 48), v128.load(weights, 48)), f32x4.mul(v128.load(first, 64), v128.load(weights, 64))),
    f32x4.mul(v128.load(first, 80), v128.load(weights, 80)),
  );
  const c = f32x4.add(a, b);
  const d = f32x4.add(c, v128.shuffle<f32>(c, c, 2, 3, 0, 1));
  return f32x4.extract_lane(d, 0) + f32x4.extract_lane(d, 1);
}
