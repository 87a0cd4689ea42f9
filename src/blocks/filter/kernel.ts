/**
 * Two-pole state-variable filter: 1, s, s^2 and s^2 + 1 over s^2 + k s + 1, with s in units of the pole frequency.
 * Two trapezoidal integrators with a prewarped gain g = tan(pi f / rate), solved without delay; with k >= 0 the states'
 * energy never grows by itself, however fast cutoff and resonance move.
 *
 * Damping: k = 2 (1 - resonance), and on the last hundredth of the way twice as steep, k = 2 (1 - r) - 2 max(0, r - 0.99),
 * so that it passes 0 at 0.995 and arrives at -0.02.
 *
 * Limiting: in a sustained oscillation low-pass and band-pass are a sine and a cosine, so lowpass^2 + bandpass^2 is steady.
 * What it exceeds 4.5 V squared by adds to the damping; k = -0.02 is balanced at 5 V. The added damping is steady too, hence
 * a clean sine, in tune. Below 4.5 V the filter is exactly linear.
 */
import { isHeld, rail, write } from '../../dsp/block';
import { exp2Pair } from '../../dsp/exp2';
import { clampPair, readBoth, readPair } from '../../dsp/pair';
import { tanBottom, tanTop } from '../../dsp/tan';
import { FilterPorts } from '../layouts.gen';

/** Volts squared up to which nothing is limited. */
const LINEAR: f64 = 4.5 * 4.5;
/** Damping per volt squared beyond: 0.02 at 5 V. */
const LIMITING: f64 = 0.02 / (5 * 5 - LINEAR);
/** Resonance from which on the damping falls twice as fast. */
const BEND: f64 = 0.99;
/** Where the damping is negative, a step of a microvolt at the input makes the filter oscillate. */
const KICK: f64 = 1e-6;
/** A constant far below hearing keeps the states clear of denormal numbers. */
const FLOOR: f64 = 1e-18;

@unmanaged export class Filter extends FilterPorts {
  // coefficients
  base: f64; // pole frequency at 0 V, as pi f / rate
  lowest: f64;
  highest: f64;
  resonanceStep: f64; // resonance per volt
  // the last coefficients from held inputs, and the volts they belong to
  heldPitch: f64;
  heldCv: f64;
  heldCv2: f64;
  heldResonance: f64;
  held1: f64;
  held2: f64;
  held3: f64;
  heldDamping: f64;
  heldOffset: f64;
  // state
  band: f64; // integrator behind the high-pass, volts
  low: f64; // integrator behind the band-pass, volts
  energy: f64; // lowpass^2 + bandpass^2 of the last frame
}

// Per frame of a range: 1, g and g^2 over 1 + g (g + k), then k and the input; one frame more for the last pair's idle lane.
const SPAN: i32 = 130 * 8;
const ONES = memory.data(SPAN, 16);
const GAINS = memory.data(SPAN, 16);
const SQUARES = memory.data(SPAN, 16);
const DAMPINGS = memory.data(SPAN, 16);
const SUMS = memory.data(SPAN, 16);
/** Where an output goes that nothing reads. */
const NOWHERE = memory.data(128 * 4, 16);

export function update(block: Filter): void {
  const radians = Math.PI / block.sampleRate;
  block.base = block.settingCutoff * radians;
  block.lowest = 16 * radians;
  block.highest = min(20000 * radians, 0.45 * Math.PI);
  block.resonanceStep = block.settingResonanceAmount / 8;
  block.heldPitch = NaN;
}

/** Coefficients of two frames into the arrays at byte offset `at`; the return value is added to the input. */
// @ts-ignore: decorator
@inline
function coefficients(block: Filter, at: usize, pitch: v128, cv: v128, cv2: v128, resonanceCv: v128): v128 {
  const octaves = f64x2.add(
    f64x2.add(pitch, f64x2.mul(f64x2.splat(block.settingCvAmount), cv)),
    f64x2.mul(f64x2.splat(block.settingCv2Amount), cv2),
  );
  const x = clampPair(f64x2.mul(f64x2.splat(block.base), exp2Pair(octaves)), block.lowest, block.highest);
  const x2 = f64x2.mul(x, x);
  const top = tanTop(x, x2);
  const bottom = tanBottom(x2);
  const bent = f64x2.add(f64x2.splat(block.settingResonance), f64x2.mul(f64x2.splat(block.resonanceStep), resonanceCv));
  const resonance = clampPair(bent, 0, 1);
  const beyond = f64x2.pmax(f64x2.sub(resonance, f64x2.splat(BEND)), f64x2.splat(0));
  const damping = f64x2.mul(f64x2.splat(2), f64x2.sub(f64x2.sub(f64x2.splat(1), resonance), beyond));
  // g = top / bottom: one division serves the tangent and the solution
  const square = f64x2.mul(top, top);
  const cross = f64x2.mul(top, bottom);
  const one = f64x2.mul(bottom, bottom);
  const share = f64x2.div(f64x2.splat(1), f64x2.add(f64x2.add(one, square), f64x2.mul(damping, cross)));
  v128.store(ONES + at, f64x2.mul(one, share));
  v128.store(GAINS + at, f64x2.mul(cross, share));
  v128.store(SQUARES + at, f64x2.mul(square, share));
  v128.store(DAMPINGS + at, damping);
  return v128.bitselect(f64x2.splat(KICK), f64x2.splat(FLOOR), f64x2.lt(damping, f64x2.splat(0)));
}

/** The coefficients of held inputs, worked out only when a volt or a setting has changed. Returns what is added to the input. */
function heldCoefficients(block: Filter, frame: i32): f64 {
  const pitch = readBoth(block.inputPitch, frame);
  const cv = readBoth(block.inputCv, frame);
  const cv2 = readBoth(block.inputCv2, frame);
  const resonanceCv = readBoth(block.inputResonanceCv, frame);
  const sameCutoff = f64x2.extract_lane(pitch, 0) == block.heldPitch && f64x2.extract_lane(cv, 0) == block.heldCv
    && f64x2.extract_lane(cv2, 0) == block.heldCv2;
  if (sameCutoff && f64x2.extract_lane(resonanceCv, 0) == block.heldResonance) {
    store<f64>(ONES, block.held1);
    store<f64>(GAINS, block.held2);
    store<f64>(SQUARES, block.held3);
    store<f64>(DAMPINGS, block.heldDamping);
    return block.heldOffset;
  }
  block.heldOffset = f64x2.extract_lane(coefficients(block, 0, pitch, cv, cv2, resonanceCv), 0);
  block.held1 = load<f64>(ONES);
  block.held2 = load<f64>(GAINS);
  block.held3 = load<f64>(SQUARES);
  block.heldDamping = load<f64>(DAMPINGS);
  block.heldPitch = f64x2.extract_lane(pitch, 0);
  block.heldCv = f64x2.extract_lane(cv, 0);
  block.heldCv2 = f64x2.extract_lane(cv2, 0);
  block.heldResonance = f64x2.extract_lane(resonanceCv, 0);
  return block.heldOffset;
}

export function process(block: Filter, from: i32, to: i32): void {
  const pitch = block.inputPitch, cv = block.inputCv, cv2 = block.inputCv2, resonanceCv = block.inputResonanceCv;
  const input = block.inputIn;
  const held = isHeld(pitch, to) && isHeld(cv, to) && isHeld(cv2, to) && isHeld(resonanceCv, to);
  let offset = f64x2.splat(held ? heldCoefficients(block, from) : 0);
  for (let i = from, at: usize = 0; i < to; i += 2, at += 16) {
    if (!held) {
      offset = coefficients(block, at, readPair(pitch, i, to), readPair(cv, i, to), readPair(cv2, i, to), readPair(resonanceCv, i, to));
    }
    v128.store(SUMS + at, f64x2.add(readPair(input, i, to), offset));
  }
  recur(block, from, to, held ? 0 : 8);
}

/** The recursive part: coefficients `stride` bytes apart (0: the same for all frames). */
function recur(block: Filter, from: i32, to: i32, stride: usize): void {
  const lowpass = block.outputLowpass ? block.outputLowpass : NOWHERE;
  const bandpass = block.outputBandpass ? block.outputBandpass : NOWHERE;
  const highpass = block.outputHighpass ? block.outputHighpass : NOWHERE;
  const notch = block.outputNotch ? block.outputNotch : NOWHERE;
  let band = block.band, low = block.low, energy = block.energy;
  let at: usize = 0;
  let sum = SUMS;
  for (let i = from; i < to; i++) {
    const c1 = load<f64>(ONES + at), c2 = load<f64>(GAINS + at), c3 = load<f64>(SQUARES + at);
    const x = load<f64>(sum);
    const ahead = x - low;
    const bandVolts = c1 * band + c2 * ahead;
    const lowVolts = low + (c2 * band + c3 * ahead);
    const keep = 1 - min(0.5, 2 * LIMITING * c2 * max(0, energy - LINEAR));
    band = 2 * keep * bandVolts - (keep * band - FLOOR);
    low = lowVolts + lowVolts - low;
    energy = bandVolts * bandVolts + lowVolts * lowVolts;
    const notchVolts = x - load<f64>(DAMPINGS + at) * bandVolts;
    write(lowpass, i, rail(<f32>lowVolts));
    write(bandpass, i, rail(<f32>bandVolts));
    write(highpass, i, rail(<f32>(notchVolts - lowVolts)));
    write(notch, i, rail(<f32>notchVolts));
    at += stride;
    sum += 8;
  }
  block.band = band;
  block.low = low;
  block.energy = energy;
}
