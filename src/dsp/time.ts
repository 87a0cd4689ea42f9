/** Times for kernels (AssemblyScript). A time t falls on engine frame round(t x rate); nothing is accumulated. */

/** The whole frame nearest to an exact one; a half goes up. */
// @ts-ignore: decorator
@inline
export function frameOf(exact: f64): i64 {
  return <i64>floor<f64>(exact + 0.5);
}

/** Frames of a trigger: 1 ms, one frame at least. */
export function triggerFrames(sampleRate: f64): i32 {
  return max<i32>(1, <i32>frameOf(0.001 * sampleRate));
}

/** The earlier of an absolute frame and `to`, as a frame of this chunk; `now` is the absolute frame of `from`. */
// @ts-ignore: decorator
@inline
export function sooner(to: i32, due: i64, now: i64, from: i32): i32 {
  const ahead = due - now;
  return ahead < <i64>(to - from) ? from + <i32>ahead : to;
}
