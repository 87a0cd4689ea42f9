/** Finds the frames in which something happens to a moving phase (AssemblyScript), two or four at a time. */
import { read } from './block';

/**
 * Sign bits: do phases (upper halves, four frames) on their way from a to b pass a start or a corner? `starts` and `corners` hold the
 * sign bit where that matters.
 */
// @ts-ignore: decorator
@inline
export function marks(a: v128, b: v128, starts: v128, corners: v128): v128 {
  const quarter = i32x4.splat(1 << 30);
  const start = v128.andnot(v128.xor(a, b), v128.xor(b, i32x4.sub(b, a)));
  const corner = v128.xor(i32x4.sub(a, quarter), i32x4.sub(b, quarter));
  return v128.or(v128.and(start, starts), v128.and(corner, corners));
}

/** May the width have moved faster than the phase at some time within the frame? Masks of two frames of widths and frequencies (f64). */
// @ts-ignore: decorator
@inline
export function overtakes(widths: usize, frequencies: usize): v128 {
  const w0 = v128.load(widths - 8);
  const move = f64x2.sub(v128.load(widths), w0);
  const surge = f64x2.sub(move, f64x2.sub(w0, v128.load(widths - 16)));
  const fastest = f64x2.add(f64x2.abs(move), f64x2.mul(f64x2.splat(1.5), f64x2.abs(surge)));
  const slowest = f64x2.pmin(f64x2.abs(v128.load(frequencies)), f64x2.abs(v128.load(frequencies - 8)));
  return f64x2.gt(fastest, f64x2.mul(f64x2.splat(0.9), slowest));
}

/** The first frame from i on in which the signal `sync` rises through 0 V, or `to`; `s0` is the frame before i. */
export function nextRise(sync: usize, i: i32, to: i32, s0: f32): i32 {
  if (i == to || (s0 <= 0 && read(sync, i) > 0)) return i;
  const zero = f32x4.splat(0);
  for (i++; i < to; i += 4) {
    const at = sync + (<usize>i << 2);
    const bits = i32x4.bitmask(v128.and(f32x4.le(v128.load(at - 4), zero), f32x4.gt(v128.load(at), zero)));
    if (bits != 0) return min(to, i + ctz(bits));
  }
  return to;
}
