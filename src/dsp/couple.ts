/**
 * A coupling capacitor for kernels (AssemblyScript): one-pole high-pass at 5 Hz, trapezoidal and prewarped, so that it is
 * exactly 3 dB down at 5 Hz at any rate and unity at the top of the band.
 *   lowpass = charge + (x - charge) g / (1 + g),  charge' = 2 lowpass - charge,  out = x - lowpass,  g = tan(pi 5 / rate)
 */

/** -3 dB frequency in hertz. */
const CORNER: f64 = 5;
const PI: f64 = 3.141592653589793;

/** g / (1 + g) for an engine rate in hertz (1 kHz or more). */
export function coupling(sampleRate: f64): f64 {
  const w = (PI * CORNER) / sampleRate;
  const w2 = w * w;
  const g = w * (1 + w2 * (1.0 / 3 + w2 * (2.0 / 15))); // tan w, exact to the last bits for w < 0.016
  return g / (1 + g);
}

/** Voltage on the capacitor after this frame; a charge too small to matter is dropped, so that it never turns denormal. */
// @ts-ignore: decorator
@inline
export function charged(charge: f64, x: f64, g: f64): f64 {
  const next = charge + 2 * g * (x - charge);
  return abs<f64>(next) < 1e-15 ? 0 : next;
}

/** What passes the capacitor in this frame. */
// @ts-ignore: decorator
@inline
export function coupled(charge: f64, x: f64, g: f64): f64 {
  return x - (charge + g * (x - charge));
}
