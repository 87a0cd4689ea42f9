/**
 * A value that goes to its target in a straight line (AssemblyScript): pitch glides, wheels. Its state is four f64 in a
 * row in the block: start, target, frames done, frames in all. Positions are computed, never accumulated.
 */

const START: usize = 0;
const TARGET: usize = 8;
const DONE: usize = 16;
const LENGTH: usize = 24;

/** Is it at its target? */
// @ts-ignore: decorator
@inline
export function isSettled(ramp: usize): bool {
  return load<f64>(ramp, DONE) >= load<f64>(ramp, LENGTH);
}

/** The value `ahead` frames from now. */
// @ts-ignore: decorator
@inline
export function rampAt(ramp: usize, ahead: f64): f64 {
  const done = load<f64>(ramp, DONE) + ahead;
  const length = load<f64>(ramp, LENGTH);
  const target = load<f64>(ramp, TARGET);
  if (done >= length) return target;
  const start = load<f64>(ramp, START);
  return start + (target - start) * (done / length);
}

/** Sets out for a target from where it stands; with no frames it is there at once. */
export function rampTo(ramp: usize, target: f64, frames: f64): void {
  const start = rampAt(ramp, 0);
  store<f64>(ramp, start, START);
  store<f64>(ramp, target, TARGET);
  store<f64>(ramp, 0, DONE);
  store<f64>(ramp, start == target ? 0 : max<f64>(frames, 0), LENGTH);
}

/** Lets frames pass. */
// @ts-ignore: decorator
@inline
export function rampPass(ramp: usize, frames: i32): void {
  if (!isSettled(ramp)) store<f64>(ramp, load<f64>(ramp, DONE) + <f64>frames, DONE);
}

/** Frames until it is at its target, at most `most`. */
// @ts-ignore: decorator
@inline
export function rampLeft(ramp: usize, most: i32): i32 {
  const left = ceil<f64>(load<f64>(ramp, LENGTH) - load<f64>(ramp, DONE));
  return left < <f64>most ? <i32>left : most;
}
