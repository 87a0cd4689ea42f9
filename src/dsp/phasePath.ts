/**
 * Geometry of a moving phase (AssemblyScript). One cycle is 2^64, so that sums are exact and wrap by themselves.
 *
 * Between two frames the frequency follows the parabola through this frame and the two before it; the phase moves by its integral
 * (the Adams-Moulton formula), at a time u in 0..1 by
 *   f u + bend u^2 / 2 + curl u^3 / 6   cycles.
 */

const PER_PHASE: f64 = 1 / (4294967296.0 * 4294967296.0);

/** Phase covered by `cycles`, |cycles| < 1/2, to the nearest 2^-52 cycle: read from the mantissa of cycles + 1.5. */
// @ts-ignore: decorator
@inline
export function phaseOf(cycles: f64): i64 {
  return (reinterpret<i64>(cycles + 1.5) - reinterpret<i64>(<f64>1.5)) << 12;
}

/** A place 0..1 in the cycle as a phase. */
// @ts-ignore: decorator
@inline
export function placeOf(share: f64): u64 {
  return (<u64>reinterpret<i64>(share + 1)) << 12;
}

/** Two places at once. */
// @ts-ignore: decorator
@inline
export function placePair(shares: v128): v128 {
  return i64x2.shl(f64x2.add(shares, f64x2.splat(1)), 12);
}

/** A phase as cycles, 0..1. */
// @ts-ignore: decorator
@inline
export function cyclesOf(x: u64): f64 {
  return <f64>x * PER_PHASE;
}

/** Second difference of the frequency over three frames, newest first. */
// @ts-ignore: decorator
@inline
export function curlOf(f1: f64, f0: f64, before: f64): f64 {
  return f1 - f0 - (f0 - before);
}

/** 5/12, 2/3, 1/12, the limit of a frame's way and 1.5, twice each: they are cheaper to read from memory than to spell in code. */
const PAIRS = memory.data<f64>([
  0.4166666666666667, 0.4166666666666667, 0.6666666666666666, 0.6666666666666666, 0.08333333333333333, 0.08333333333333333, 0.49, 0.49,
  -0.49, -0.49, 1.5, 1.5,
]);

/**
 * Phase from frame to frame with frequencies f0 and f1 (cycles per frame), `before` one frame earlier; kept below half a cycle where
 * the frequency jumps.
 */
// @ts-ignore: decorator
@inline
export function frameStep(f1: f64, f0: f64, before: f64): i64 {
  const way = f1 * load<f64>(PAIRS) + f0 * load<f64>(PAIRS, 16) - before * load<f64>(PAIRS, 32);
  const top = load<f64>(PAIRS, 48);
  return phaseOf(way > top ? top : way < -top ? -top : way);
}

/** The same for two frames at once. */
// @ts-ignore: decorator
@inline
export function frameStepPair(f1: v128, f0: v128, before: v128): v128 {
  return phasePair(f64x2.pmax(f64x2.pmin(wayPair(f1, f0, before), v128.load(PAIRS, 48)), v128.load(PAIRS, 64)));
}

/** The same where |f| <= 0.42, so that no way is too long. */
// @ts-ignore: decorator
@inline
export function shortStepPair(f1: v128, f0: v128, before: v128): v128 {
  return phasePair(wayPair(f1, f0, before));
}

// @ts-ignore: decorator
@inline
function wayPair(f1: v128, f0: v128, before: v128): v128 {
  const sum = f64x2.add(f64x2.mul(f1, v128.load(PAIRS)), f64x2.mul(f0, v128.load(PAIRS, 16)));
  return f64x2.sub(sum, f64x2.mul(before, v128.load(PAIRS, 32)));
}

// @ts-ignore: decorator
@inline
function phasePair(cycles: v128): v128 {
  const middle = v128.load(PAIRS, 80);
  return i64x2.shl(i64x2.sub(f64x2.add(cycles, middle), middle), 12);
}

/** Frequency at a time. */
// @ts-ignore: decorator
@inline
export function frequencyOn(time: f64, f: f64, bend: f64, curl: f64): f64 {
  return f + time * (bend + 0.5 * curl * time);
}

/** Cycles covered at a time. */
// @ts-ignore: decorator
@inline
export function wayOn(time: f64, f: f64, bend: f64, curl: f64): f64 {
  return time * (f + time * (0.5 * bend + time * (curl * (1.0 / 6))));
}

/**
 * Time at which `distance` cycles are covered, within `length`. `way` is +1 or -1, the direction in which the mark is passed. First
 * with a straight line for the frequency, which has a solution in closed form, then by Newton's method.
 */
export function timeOf(distance: f64, f: f64, bend: f64, curl: f64, length: f64, way: f64): f64 {
  const line = bend + 0.5 * curl * length;
  const speed = way * sqrt(max<f64>(0, f * f + 2 * line * distance));
  const pace = f * way >= 0 ? f + speed : line;
  // A phase that stands still on the mark has covered it at once.
  if (pace == 0) return 0;
  let time = (f * way >= 0 ? 2 * distance : speed - f) / pace;
  if (curl == 0) return time;
  for (let i = 0; i < 3; i++) {
    const now = frequencyOn(time, f, bend, curl);
    if (now * way <= 0) break;
    time = max<f64>(0, min<f64>(length, time - (wayOn(time, f, bend, curl) - distance) / now));
  }
  return time;
}

/** Does a path that starts with f reach `distance` cycles before it turns round? With a straight line for the frequency. */
// @ts-ignore: decorator
@inline
export function reaches(distance: f64, f: f64, bend: f64, curl: f64, length: f64): bool {
  return f * f + 2 * (bend + 0.5 * curl * length) * distance > 0;
}

/** Signed cycles from phase x to the next start of a cycle in the direction `way`. */
// @ts-ignore: decorator
@inline
export function cyclesToStart(x: u64, way: f64): f64 {
  return way > 0 ? cyclesOf(<u64>0 - x) : -cyclesOf(x);
}

/** Does the phase go through the start of a cycle on its way from x over `step`? */
// @ts-ignore: decorator
@inline
export function passesStart(x: u64, step: i64): bool {
  const end = x + <u64>step;
  return <i64>((x ^ end) & ~(end ^ <u64>step)) < 0;
}

/** Frames until a phase at x, going a steady `step` (not 0) per frame, has gone through the start of a cycle: 1 or more. */
// @ts-ignore: decorator
@inline
export function framesToStart(x: u64, step: i64): u64 {
  return step > 0 ? (u64.MAX_VALUE - x) / <u64>step + 1 : x / <u64>-step + 1;
}

/** The part of a frame that is left at a time 0..1 within it, whatever rounding did. */
// @ts-ignore: decorator
@inline
export function restOfFrame(time: f64): f64 {
  const rest = 1 - time;
  return rest > 0 ? (rest < 1 ? rest : 1) : 0;
}
