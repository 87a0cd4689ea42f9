/**
 * Geometry of a moving phase (AssemblyScript): a cycle is 2^64, so that sums are exact and wrap by themselves. Between two frames the
 * frequency changes in a straight line, the phase on a parabola.
 */

/** Cycles per unit of phase. */
export const PER_PHASE: f64 = 1 / (4294967296.0 * 4294967296.0);

/** Phase covered by `f` cycles, |f| < 1/2, to the nearest 2^-52 cycle: read from the mantissa of f + 1.5. */
// @ts-ignore: decorator
@inline
export function phaseOf(f: f64): i64 {
  return (reinterpret<i64>(f + 1.5) - reinterpret<i64>(<f64>1.5)) << 12;
}

/**
 * Frames until `distance` cycles are covered, at first with f cycles per frame, which change by `bend` per frame. `way` is +1 or -1,
 * the direction in which the mark is passed.
 */
// @ts-ignore: decorator
@inline
export function passing(distance: f64, f: f64, bend: f64, way: f64): f64 {
  const speed = way * speedAt(distance, f, bend);
  return f * way >= 0 ? (2 * distance) / (f + speed) : (speed - f) / bend;
}

/** Size of the frequency after `distance` cycles. */
// @ts-ignore: decorator
@inline
export function speedAt(distance: f64, f: f64, bend: f64): f64 {
  return sqrt(max<f64>(0, f * f + 2 * bend * distance));
}

/** Signed cycles from phase x to the next start of a cycle in the direction `way`. */
// @ts-ignore: decorator
@inline
export function cyclesToStart(x: u64, way: f64): f64 {
  return way > 0 ? <f64>(<u64>0 - x) * PER_PHASE : -(<f64>x * PER_PHASE);
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
  return step > 0 ? (u64.MAX_VALUE - x) / <u64>step + 1 : x / <u64>(-step) + 1;
}

/** The part of a frame that is left at a time 0..1 within it, whatever rounding did. */
// @ts-ignore: decorator
@inline
export function restOfFrame(time: f64): f64 {
  const rest = 1 - time;
  return rest > 0 ? (rest < 1 ? rest : 1) : 0;
}
