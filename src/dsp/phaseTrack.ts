/**
 * The way of a phase over the frames of one call (AssemblyScript): arrays by frame, and the search for the frames with edges, four at
 * a time. The caller owns the memory; frame k of an array lies at its start + k x its size, some of the past before frame 0.
 */
import { CHUNK, read } from './block';
import { frameStep, placeOf, placePair } from './phasePath';
import { EdgeSums, passCorners, passFrame, passStarts, passSync } from './waveEdges';

// Starts within a track. f64: frequency before the direction (cycles per frame), width (share of the cycle); 64 bits: phase per frame
// before the direction, phase; u32: upper halves of phase and width.
export const FREQUENCY: usize = 16;
export const STEP: usize = FREQUENCY + (CHUNK + 6) * 8;
export const PHASE: usize = STEP + (CHUNK + 6) * 8;
export const WIDTH: usize = PHASE + (CHUNK + 6) * 8;
export const UPPER_PHASE: usize = WIDTH + (CHUNK + 6) * 8;
export const UPPER_WIDTH: usize = UPPER_PHASE + (CHUNK + 8) * 4;
export const TRACK_BYTES: i32 = <i32>UPPER_WIDTH + (CHUNK + 4) * 4;

// @ts-ignore: decorator
@inline
export function upper(x: u64): u32 {
  return <u32>(x >> 32);
}

/** Two frames of an input. */
// @ts-ignore: decorator
@inline
export function pair(signal: usize, frame: i32): v128 {
  return f64x2.promote_low_f32x4(v128.load64_zero(signal + ((<usize>frame) << 2)));
}

// @ts-ignore: decorator
@inline
export function clampPair(x: v128, bottom: v128, top: v128): v128 {
  return f64x2.pmax(f64x2.pmin(x, top), bottom);
}

/**
 * Frames k..end-1 without sync, from PHASE of the frame before, FREQUENCY, STEP and, for a pulse, WIDTH: their phases, upper halves
 * and edges.
 */
export function glideTrack(track: usize, edges: EdgeSums, direction: f64, k: i32, end: i32): void {
  const stop = track + PHASE + ((<usize>end) << 3);
  let at = track + PHASE + ((<usize>k) << 3);
  let x = load<u64>(at - 8);
  if (direction > 0) {
    for (; at < stop; at += 8) {
      x += load<u64>(at - (PHASE - STEP));
      store<u64>(at, x);
    }
  } else {
    for (; at < stop; at += 8) {
      x -= load<u64>(at - (PHASE - STEP));
      store<u64>(at, x);
    }
  }
  const pulse = edges.pulse != 0;
  const starts = i32x4.splat(pulse || edges.saw != 0 ? i32.MIN_VALUE : 0);
  const corners = i32x4.splat(edges.triangle != 0 ? i32.MIN_VALUE : 0);
  const way = f64x2.splat(direction);
  const first = track + ((<usize>k) << 3);
  let a = i32x4.splat(<i32>upper(load<u64>(first + PHASE - 8)));
  let fa = v128.load(first + FREQUENCY - 16); // its last lane holds the sign of the frame before
  let high = i32x4.splat(0);
  if (pulse) high = i32x4.lt_u(a, i32x4.splat(<i32>upper(placeOf(load<f64>(first + WIDTH - 8)))));
  for (; k < end; k += 4) {
    const at = track + ((<usize>k) << 3);
    const to = track + ((<usize>k) << 2);
    const b = i32x4.shuffle(v128.load(at, PHASE), v128.load(at, PHASE + 16), 1, 3, 5, 7);
    const fb = i32x4.shuffle(v128.load(at, FREQUENCY), v128.load(at, FREQUENCY + 16), 1, 3, 5, 7);
    let m = v128.or(marks(i32x4.shuffle(a, b, 3, 4, 5, 6), b, starts, corners), v128.xor(i32x4.shuffle(fa, fb, 3, 4, 5, 6), fb));
    if (pulse) {
      const w = i32x4.shuffle(placePair(v128.load(at, WIDTH)), placePair(v128.load(at, WIDTH + 16)), 1, 3, 5, 7);
      const highB = i32x4.lt_u(b, w);
      m = v128.or(m, v128.xor(i32x4.shuffle(high, highB, 3, 4, 5, 6), highB));
      m = v128.or(
        m,
        i32x4.shuffle(overtakes(at + WIDTH, at + FREQUENCY, way), overtakes(at + WIDTH + 16, at + FREQUENCY + 16, way), 1, 3, 5, 7),
      );
      high = highB;
      v128.store(to, w, UPPER_WIDTH);
    }
    v128.store(to, b, UPPER_PHASE);
    let bits = i32x4.bitmask(m);
    if (end - k < 4) bits &= (1 << (end - k)) - 1;
    for (; bits != 0; bits &= bits - 1) edgeAt(track, edges, direction, k + ctz(bits));
    a = b;
    fa = fb;
  }
}

/**
 * Sign bits: do phases (upper halves) on their way from a to b pass a start or a corner? `starts` and `corners` hold the sign bit where
 * that matters.
 */
// @ts-ignore: decorator
@inline
function marks(a: v128, b: v128, starts: v128, corners: v128): v128 {
  const quarter = i32x4.splat(1 << 30);
  const start = v128.andnot(v128.xor(a, b), v128.xor(b, i32x4.sub(b, a)));
  const corner = v128.xor(i32x4.sub(a, quarter), i32x4.sub(b, quarter));
  return v128.or(v128.and(start, starts), v128.and(corner, corners));
}

/**
 * May the phase turn round relative to the width within the frame? Masks of two frames of widths and frequencies; a little more often
 * than it does, as the edges themselves decide (passPiece).
 */
// @ts-ignore: decorator
@inline
function overtakes(width: usize, frequency: usize, direction: v128): v128 {
  const w0 = v128.load(width - 8);
  const move = f64x2.sub(v128.load(width), w0);
  let surge = f64x2.sub(move, f64x2.sub(w0, v128.load(width - 16)));
  surge = v128.and(surge, f64x2.lt(f64x2.abs(surge), f64x2.splat(0.25)));
  const grow = f64x2.sub(move, f64x2.mul(f64x2.splat(0.5), surge));
  const first = f64x2.sub(f64x2.mul(direction, v128.load(frequency - 8)), grow);
  const last = f64x2.sub(f64x2.sub(f64x2.mul(direction, v128.load(frequency)), grow), surge);
  return f64x2.lt(f64x2.mul(first, last), f64x2.splat(1e-14));
}

function edgeAt(track: usize, edges: EdgeSums, d: f64, k: i32): void {
  const at = track + ((<usize>k) << 3);
  const f = at + FREQUENCY;
  const w = at + WIDTH;
  const x = load<u64>(at + PHASE - 8);
  const step = <i64>(load<u64>(at, PHASE) - x);
  passFrame(
    edges,
    k,
    x,
    step,
    d * load<f64>(f),
    d * load<f64>(f - 8),
    d * load<f64>(f - 16),
    load<f64>(w),
    load<f64>(w - 8),
    load<f64>(w - 16),
  );
}

/** Frame k, in which sync rises through 0 V at `time`: phase, upper halves and edges. */
export function syncTrack(track: usize, edges: EdgeSums, d: f64, k: i32, time: f64, turn: bool): void {
  const at = track + ((<usize>k) << 3);
  const f = at + FREQUENCY;
  const w = at + WIDTH;
  const x = load<u64>(at + PHASE - 8);
  const f1 = d * load<f64>(f);
  const f0 = d * load<f64>(f - 8);
  const now = passSync(edges, k, x, time, turn, f1, f0, d * load<f64>(f - 16), load<f64>(w), load<f64>(w - 8), load<f64>(w - 16));
  store<u64>(at, now, PHASE);
  store<u32>(track + ((<usize>k) << 2), upper(now), UPPER_PHASE);
  store<u32>(track + ((<usize>k) << 2), upper(placeOf(load<f64>(w))), UPPER_WIDTH);
}

/** `count` frames from k on at a steady f, with the direction, and width: upper halves and edges. Answers the last phase. */
export function steadyTrack(track: usize, edges: EdgeSums, x: u64, f: f64, width: f64, k: i32, count: i32): u64 {
  const step = frameStep(f, f, f);
  const pulse = edges.pulse != 0;
  if (step != 0) {
    if (pulse || edges.saw != 0) passStarts(edges, x, step, f, width, count, k);
    if (edges.triangle != 0) passCorners(edges, x, step, f, count, k);
  }
  let a = i64x2.replace_lane(i64x2.splat(<i64>x + step), 1, <i64>x + 2 * step);
  const two = i64x2.splat(2 * step);
  const w = i32x4.splat(<i32>upper(placeOf(width)));
  let at = track + ((<usize>k) << 2);
  for (const stop = at + ((<usize>count) << 2); at < stop; at += 16) {
    const b = i64x2.add(a, two);
    v128.store(at, i32x4.shuffle(a, b, 1, 3, 5, 7), UPPER_PHASE);
    if (pulse) v128.store(at, w, UPPER_WIDTH);
    a = i64x2.add(b, two);
  }
  return x + <u64>count * <u64>step;
}

/** The first frame from i on in which the signal `sync` rises through 0 V, or `to`; `s0` is the frame before i. */
export function nextRise(sync: usize, i: i32, to: i32, s0: f32): i32 {
  if (i == to || (s0 <= 0 && read(sync, i) > 0)) return i;
  const zero = f32x4.splat(0);
  for (i++; i < to; i += 4) {
    const at = sync + ((<usize>i) << 2);
    const bits = i32x4.bitmask(v128.and(f32x4.le(v128.load(at - 4), zero), f32x4.gt(v128.load(at), zero)));
    if (bits != 0) return min(to, i + ctz(bits));
  }
  return to;
}
