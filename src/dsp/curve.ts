/**
 * The shape of contour segments for kernels (AssemblyScript): s(u) = (1 - e^(-k u)) / (1 - e^(-k)), u from 0 to 1 in time,
 * s(u) = u for k = 0. k > 0 moves fast first, like a charging capacitor; k < 0 moves fast last.
 *
 * It is run as s(u + d) = keep s(u) + step with keep = e^(-k d) and step = s(d): as exact for a straight line as for a
 * bent one (after twenty seconds at 384 kHz still within 1e-9), and the same bits however the frames are cut.
 */

/** k nearer to 0 than this is a straight line (the difference is below 2e-8 of the way). */
const STRAIGHT: f64 = 1e-7;

/** 1 - e^(-x), exact also for small x. */
// @ts-ignore: decorator
@inline
export function covered(x: f64): f64 {
  return abs<f64>(x) < 1e-3 ? x * (1 - x * (0.5 - x * (1.0 / 6 - x * (1.0 / 24)))) : -Math.expm1(-x);
}

/** k for a segment: `bend` -5 (decay, release) or -1.5 (attack) times the curve setting -1..1. */
export function bendOf(bend: f64, curve: f64): f64 {
  const k = bend * curve;
  return abs<f64>(k) < STRAIGHT ? 0 : k;
}

/** The step of the recursion over a share d of the segment's time: s(d). */
export function stepOf(k: f64, d: f64): f64 {
  return k == 0 ? d : covered(k * d) / covered(k);
}

/** What the recursion keeps of s over a share d of the segment's time: e^(-k d). */
export function keepOf(k: f64, d: f64): f64 {
  return k == 0 ? 1 : 1 - covered(k * d);
}

/** Where s has the value y (0..1): the inverse of s. */
export function enter(k: f64, y: f64): f64 {
  if (k == 0 || y <= 0 || y >= 1) return min<f64>(max<f64>(y, 0), 1);
  return -Math.log1p(-y * covered(k)) / k;
}
